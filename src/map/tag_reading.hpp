#pragma once

#include "map/bridge_reading.hpp"
#include "map/ground.hpp"
#include "map/hours.hpp"
#include "map/kinds.hpp"
#include "region/region.hpp"

#include <optional>
#include <string>
#include <vector>

/// Tags read once into typed facts, each with where it comes from.
namespace waywarden::map {

/// How a value is known.
enum class Grade : std::uint8_t {
    recorded, ///< a tag on the object itself says so
    zone,     ///< a word of a zone or class of road in a tag (GB:nsl_single, source:maxspeed=…)
    presumed, ///< the region presumes it for such an object
    unknown,
};
const char* to_string(Grade grade);

enum class Right : std::uint8_t {
    recorded,
    road,
    permissive,
    open_access,
    presumed,
    unknown,
    restricted,
    forbidden
};
const char* to_string(Right right);

enum class Pavement : std::uint8_t { both, left, right, yes, separate, none, unknown };
const char* to_string(Pavement pavement);

struct RightReading {
    Right right = Right::unknown;
    Grade grade = Grade::unknown;
    std::string value; ///< the access word that decided: private, no, designated, customers …; "" if none
    std::vector<std::string> because; ///< "foot=private"
    bool conflicting = false; ///< tags contradict each other (designation=public_footpath with foot=no)
};

struct SpeedReading {
    std::optional<double> limit_kmh; ///< absent: unknown; infinity: no limit (maxspeed=none)
    Grade grade = Grade::unknown;
    std::string words;        ///< as a reader says it: "60 mph", "no limit", "not recorded"
    std::string because;      ///< "maxspeed=60 mph", "presumed in England for an unlit single carriageway"
    bool unreadable = false;  ///< a tag was there that could not be read, and no other gives a limit
    bool conflicting = false; ///< a recorded limit is below what a word of zone or class beside it means
};

/// Everything a verdict may need from one way's tags.
struct WayFacts {
    Access access = Access::open_ground;
    std::string lifecycle; ///< "" in use
    RightReading right;
    SpeedReading speed; ///< roads only
    Pavement pavement = Pavement::unknown;
    std::optional<int> lanes;
    std::optional<bool> oneway, dual_carriageway, lit;
    std::string surface; ///< "" unknown
    bool bridge = false, tunnel = false, ford = false, culvert = false, tidal = false, covered = false,
         indoor = false;
    BridgeReading bridge_as; ///< what `bridge` rests on; one that is gone carries nobody
    std::string ford_kind;   ///< "", "ford", "stepping_stones", "boat"
    std::optional<double> layer;
    std::string sac_scale;        ///< "" unknown
    std::string trail_visibility; ///< "" unknown
    std::string grade_unread;     ///< "sac_scale=T7": grades recorded in words that are not read; "" none
    std::optional<double> width_m;
    bool steps = false, via_ferrata = false;
    std::vector<std::pair<std::string, std::string>> conditional; ///< every *:conditional tag, whole
};

/// Where a time is given, conditions on the right are weighed: see right_of.
WayFacts read_way(const Tags& tags, const region::Region& region, const std::optional<At>& when = {});

/// A barrier or gate node (or a barrier line) as a walker meets it.
struct BarrierReading {
    std::string kind; ///< the value of `barrier`; "" if none
    std::optional<bool> locked;
    RightReading right;           ///< what its own access tags say; Right::unknown where silent
    bool passable_by_kind = true; ///< a stile or gate lets walkers through, a wall or fence does not
};
BarrierReading read_barrier(const Tags& tags, const std::optional<At>& when = {});
/// Whether there is anything to read: a crossing of rails or of a road that walkers may not use, or an
/// entrance that is shut, is marked on its node alone, without a barrier.
bool may_bar_walkers(const Tags& tags);

/// A width or height as tags write it: "1.2", "90 cm", "6'7\""; metres. Empty where it cannot be read or is
/// not between 0 and 200 m.
std::optional<double> read_metres(std::string_view value);

/// A speed as tags write it: "50", "30 mph", "none", "walk", "signals"; km/h. Empty where it cannot be read.
std::optional<double> read_speed(std::string_view value);

} // namespace waywarden::map

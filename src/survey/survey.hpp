#pragma once

#include "map/kinds.hpp"
#include "match/trace.hpp"
#include "region/region.hpp"
#include "survey/daylight.hpp"
#include "survey/facts.hpp"
#include "survey/heights.hpp"
#include "survey/legs.hpp"
#include "survey/passing_time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace waywarden::survey {

/// An OSM object that a fact or a finding rests on, with the tags that count.
struct Evidence {
    map::ObjectId osm;
    std::vector<std::pair<std::string, std::string>> tags;
    std::int64_t edited_s = 0; ///< 0 unknown
};

/// One way of reading a piece of the line.
struct StretchReading {
    map::Access access = map::Access::open_ground;
    std::optional<map::ObjectId> osm; ///< none: open ground or open water
    std::string name;                 ///< name or ref; "" where it has none
    double probability = 0;
    Facts facts;       ///< of SubjectKind::stretch
    Evidence evidence; ///< meaningless where osm is none
};

struct StretchSurvey {
    double from_m = 0, to_m = 0;
    StretchReading reading;             ///< the likeliest
    std::vector<StretchReading> others; ///< with a probability of 0.05 and more
    std::vector<match::TracePoint> line;
};

enum class CrossingOf { road, rail, water, barrier };
enum class Means { level, bridge, tunnel, culvert, ford, ferry, none };
const char* to_string(CrossingOf of);
const char* to_string(Means means);

struct Crossing {
    double at_m = 0;
    int place = 0; ///< entries that are one event to the walkers share it; from 1, in order of the walk
    geo::Position position;
    CrossingOf of = CrossingOf::road;
    map::Access access =
        map::Access::open_ground; ///< of what is crossed; `water` for water, `open_ground` for a barrier
    map::ObjectId osm;
    std::string name;
    Means means = Means::none;
    Facts facts; ///< of SubjectKind::crossing
    std::vector<Evidence> evidence;
};

/// A point or an area on or beside the route, or something odd about the line itself: its kind is the
/// fact `kind`.
struct Spot {
    double from_m = 0, to_m = 0; ///< where the route is at it or in it; equal for a point
    geo::Position position;
    std::string name;
    Facts facts; ///< of SubjectKind::spot
    std::vector<Evidence> evidence;
};

/// Something on or near the way that a leader may want to know of, without opinion.
struct PlaceOnTheWay {
    std::string kind; ///< "car_park", "toilets", …: see on_the_way.hpp
    std::string name; ///< "" where it has none
    double at_m = 0;  ///< where the walk comes nearest
    double aside_m = 0;
    geo::Position position;
    map::ObjectId osm;
};

/// Where a vehicle that brings help gets to the walk: along a piece of it, or at a point (both ends equal).
struct VehicleReach {
    double from_m = 0, to_m = 0;
    geo::Position position; ///< where it begins
    std::string name;       ///< of the road; "" where it has none
    map::Access access = map::Access::minor_road;
    map::ObjectId osm;
};

/// What the survey is told beside the map and the route.
struct Given {
    std::optional<int> walkers; ///< who cross a road together; without it the time to cross stays unknown
    double map_reach_m = 400;   ///< how far beside the route the map was read
    std::optional<Timetable> timetable = {};   ///< none: nobody said when the walk starts
    std::optional<int> people = {};            ///< the whole party
    std::optional<LegSpacing> legs_every = {}; ///< none: legs go by the checkpoints of the file
    std::optional<HeightLine> heights = {};    ///< none: nothing is known of heights
    std::optional<Effort> effort = {};         ///< none: nobody said how fast the party is
};

/// All facts about a route and no opinions.
struct Survey {
    double length_m = 0;
    std::vector<StretchSurvey> stretches;    ///< cover the route without gap or overlap
    std::vector<Crossing> crossings;         ///< by at_m
    std::vector<Spot> spots;                 ///< by from_m
    Facts route_facts;                       ///< of SubjectKind::route
    std::vector<PlaceOnTheWay> places;       ///< by at_m
    std::vector<VehicleReach> vehicle_reach; ///< by from_m
    LegTable legs;                           ///< empty where nothing parts the walk
    std::optional<Daylight> daylight;        ///< none: no date was given
    std::vector<std::string> not_seen;       ///< what the map cannot tell for this route, in plain words
};

/// Computes it. `today_s` is the date to count ages to (Unix time).
Survey survey(const route::Route& route, const map::Ground& ground, const match::Trace& trace,
              const region::Region& region, std::int64_t today_s, const Given& given = {});

/// Position on the drawn line at a distance along it, clamped to its ends.
geo::Position position_at(const route::Route& route, double at_m);

} // namespace waywarden::survey

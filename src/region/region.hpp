#pragma once

#include "geo/grid_reference.hpp"
#include "geo/position.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

/// What a country's law and custom presume where the map is silent. Data: rules/regions/*.json.
namespace waywarden::region {

struct Grounds {
    std::string title, publisher, date, note; ///< a published source, or a note that it is common practice
};

/// A presumed speed limit for roads of some classes; the first row that fits counts. Where a condition is not
/// known the row may fit, and of the rows that may fit, down to the first that does, the highest limit
/// counts.
struct SpeedRow {
    std::vector<std::string> highway; ///< classes it is for; empty: any
    std::optional<bool> dual;         ///< only for (or not for) dual carriageways
    std::optional<bool> built_up;     ///< only where street lighting or a residential class says so (or not)
    double limit_kmh = 0;             ///< 0: no limit
    std::string words;                ///< the limit as the region writes it: "30 mph", "none"
    Grounds grounds;
};

/// What a `maxspeed:type`, `source:maxspeed` or zone word means, for example "GB:nsl_single" -> 96.56.
struct SpeedWord {
    std::string
        word; ///< lower case; with a colon as it stands, without one after any of speed_prefixes or none
    std::optional<bool> dual;
    double limit_kmh = 0; ///< 0: no limit
    std::string words;    ///< the limit as the region writes it: "60 mph", "none"
    Grounds grounds;
};

/// The presumed right on foot for ways of some classes that say nothing of it.
struct FootRow {
    std::vector<std::string> highway;
    std::string right; ///< road, presumed, open_access, unknown or forbidden
    Grounds grounds;
};

struct Region {
    std::string name;  ///< "england"
    std::string title; ///< "England"
    geo::GridSystem grid = geo::GridSystem::utm;
    std::string time_zone; ///< IANA name
    bool drives_on_left = false;
    bool open_country_is_open = false;       ///< whether there is a general right over open ground (Scotland)
    bool speed_in_mph = false;               ///< how limits are written in reports
    std::vector<std::string> speed_prefixes; ///< "GB", "GB-ENG", "UK" …: country words before the colon
    std::vector<SpeedRow> presumed_speed;
    std::vector<SpeedWord> speed_words;
    std::vector<FootRow> presumed_foot;
    double strictness = 0; ///< near a border the region with the greater number is judged
    std::vector<std::vector<geo::Position>> boundary; ///< coarse closed rings for `auto`; may be empty
    double border_km = 5;                             ///< nearer than this to the boundary is "near a border"
    std::vector<Grounds> grounds;
};

/// Reads rules/regions/NAME.json. Throws ArgumentError (no such region; names those there are) or DataError
/// (which file, which line or JSON pointer, what is wrong).
Region load(const std::string& name);

/// A region from the text of its file; `path` is for messages. Throws DataError.
Region parse(const std::string& text, const std::string& path);

/// The regions there are, by name. Throws DataError where the folder cannot be read.
std::vector<std::string> names();

/// What `auto` comes to for a line: the region that holds it; of several that hold a part of it, or come
/// nearer to it than their border_km, the one of the greatest strictness; else `general`. It never throws for
/// `auto`: a region file that cannot be read is named in the note. A given name is loaded as `load` does,
/// without a note.
struct Choice {
    Region region;
    std::string note; ///< said in the result where near a border or outside every known region, else ""
};
Choice choose(const std::string& name_or_auto, std::span<const geo::Position> line);

/// Where rules, regions and parties are: $WAYWARDEN_DATA, else beside the installed program
/// (../share/waywarden), else the source tree.
std::string data_folder();

} // namespace waywarden::region

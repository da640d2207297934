#include "survey/facts.hpp"

#include "error.hpp"

#include <algorithm>
#include <tuple>

namespace waywarden::survey {

namespace {

using Kinds = std::vector<SubjectKind>;
using Choices = std::vector<std::string_view>;

constexpr auto k_stretch = SubjectKind::stretch;
constexpr auto k_crossing = SubjectKind::crossing;
constexpr auto k_spot = SubjectKind::spot;
constexpr auto k_leg = SubjectKind::leg;
constexpr auto k_route = SubjectKind::route;

FactSpec flag(std::string_view name, Kinds kinds, std::string_view meaning) {
    return {name, std::move(kinds), FactType::flag, "", {}, meaning};
}
FactSpec number(std::string_view name, Kinds kinds, std::string_view unit, std::string_view meaning) {
    return {name, std::move(kinds), FactType::number, unit, {}, meaning};
}
FactSpec text(std::string_view name, Kinds kinds, std::string_view meaning) {
    return {name, std::move(kinds), FactType::text, "", {}, meaning};
}
FactSpec choice(std::string_view name, Kinds kinds, Choices choices, std::string_view meaning) {
    return {name, std::move(kinds), FactType::choice, "", std::move(choices), meaning};
}

const Choices& access_words() {
    static const Choices words{"footpath", "bridleway",  "byway",      "cycleway", "track",
                               "pavement", "minor_road", "major_road", "motorway", "railway",
                               "water",    "ferry",      "open_ground"};
    return words;
}

void add_way_facts(std::vector<FactSpec>& t) {
    t.push_back(choice("access", {k_stretch, k_crossing}, access_words(),
                       "what is walked on or crossed, by class; `water` also for open water"));
    t.push_back(
        text("name", {k_stretch, k_crossing, k_spot}, "name or reference; unknown where it has none"));
    t.push_back(text("highway", {k_stretch, k_crossing, k_spot}, "the class of way as the map writes it"));
    t.push_back(choice("lifecycle", {k_stretch, k_crossing},
                       {"in_use", "construction", "proposed", "planned", "disused", "abandoned", "closed",
                        "razed", "demolished", "removed", "other"},
                       "whether the way is in use"));
    t.push_back(number("speed_limit_kmh", {k_stretch, k_crossing}, "km/h",
                       "speed limit of the road; 999 where the map says there is none"));
    t.push_back(
        choice("speed_limit_source", {k_stretch, k_crossing}, {"recorded", "zone", "presumed", "unknown"},
               "how the speed limit is known: a number on the road, a zone word, or the region's rule"));
    t.push_back(
        text("speed_limit", {k_stretch, k_crossing}, "the speed limit as the region writes it: 60 mph"));
    t.push_back(
        flag("speed_unreadable", {k_stretch, k_crossing}, "a speed limit is recorded but cannot be read"));
    t.push_back(
        flag("speed_contradicted", {k_stretch, k_crossing},
             "the limit recorded is below what a word of zone or class beside it means; else unknown"));
    t.push_back(flag("closed_to_motors", {k_stretch, k_crossing},
                     "a lane or street recorded as closed to motor vehicles at all times; else unknown"));
    t.push_back(
        number("lanes", {k_stretch, k_crossing}, "", "number of traffic lanes, of all carriageways crossed"));
    t.push_back(flag("oneway", {k_stretch, k_crossing}, "traffic runs one way only"));
    t.push_back(
        flag("dual_carriageway", {k_stretch, k_crossing}, "the road is one side of a dual carriageway"));
    t.push_back(flag("lit", {k_stretch, k_crossing}, "street lighting is recorded"));
    t.push_back(text("surface", {k_stretch, k_crossing}, "surface as the map writes it"));
    t.push_back(number("width_m", {k_stretch, k_crossing}, "m", "width of the way or the water"));
    t.push_back(flag("bridge", {k_stretch}, "the way walked is on a bridge"));
    t.push_back(text("bridge_word", {k_stretch},
                     "the map's word for a bridge that is fallen, closed or gone, or may be: collapsed"));
    t.push_back(flag("tunnel", {k_stretch}, "the way walked is in a tunnel"));
    t.push_back(flag("ford", {k_stretch}, "the way walked runs through water"));
    t.push_back(flag("tidal", {k_stretch, k_crossing, k_spot}, "covered by the tide at times"));
}

void add_stretch_facts(std::vector<FactSpec>& t) {
    t.push_back(choice(
        "right", {k_stretch, k_spot},
        {"recorded", "road", "permissive", "open_access", "presumed", "unknown", "restricted", "forbidden"},
        "the right to walk there, as far as the map tells"));
    t.push_back(
        text("right_value", {k_stretch, k_spot}, "the access word that decided: private, no, designated"));
    t.push_back(flag("right_conflict", {k_stretch}, "tags about the right on foot contradict each other"));
    t.push_back(choice("pavement", {k_stretch}, {"both", "left", "right", "yes", "separate", "none"},
                       "pavement recorded on the road itself; unknown where nothing is recorded"));
    t.push_back(flag("pavement_beside", {k_stretch},
                     "a footway that frees walkers from the road is mapped along it"));
    t.push_back(flag("steps", {k_stretch}, "steps"));
    t.push_back(choice("sac_scale", {k_stretch},
                       {"strolling", "hiking", "mountain_hiking", "demanding_mountain_hiking",
                        "alpine_hiking", "demanding_alpine_hiking", "difficult_alpine_hiking"},
                       "mountain walking grade as recorded"));
    t.push_back(number("sac_grade", {k_stretch}, "T",
                       "the same grade as a number: 0 strolling, 1 hiking (T1) to 6 (T6)"));
    t.push_back(choice("trail_visibility", {k_stretch},
                       {"excellent", "good", "intermediate", "bad", "horrible", "no"},
                       "how well the path can be seen on the ground"));
    t.push_back(text("grade_unread", {k_stretch},
                     "a grade or visibility that is recorded in words that are not read, as the map writes "
                     "it; unknown where there is none"));
    t.push_back(flag("via_ferrata", {k_stretch}, "a climbing path with fixed ropes, rungs or ladders"));
    t.push_back(flag("ladder", {k_stretch}, "a ladder, rungs or fixed ropes are recorded on the way"));
    t.push_back(
        number("confidence", {k_stretch}, "", "how sure it is that the drawn line means this way, 0 to 1"));
    t.push_back(flag("covered_by_map", {k_stretch}, "the map says it covers the place"));
    t.push_back(flag("open_country_is_open", {k_stretch, k_spot},
                     "the region has a general right of access over open ground"));
    t.push_back(choice("ground", {k_stretch},
                       {"grass",    "wood",  "farmland",   "farmyard", "garden", "building", "water",
                        "wetland",  "tidal", "beach",      "rock",     "scree",  "glacier",  "residential",
                        "military", "heath", "industrial", "quarry",   "square", "other"},
                       "what lies under a stretch of open ground"));
    t.push_back(text("conditional", {k_stretch}, "a restriction at certain times, as the map writes it"));
    t.push_back(
        flag("closed_then", {k_stretch, k_spot},
             "walkers are kept out at the time of passing, by conditional tags, opening hours or season; "
             "false where none of these is recorded"));
    t.push_back(text("conditional_words", {k_stretch, k_spot},
                     "the tags that keep walkers out at certain times, and why it cannot be told if so"));
    t.push_back(text("passes_at", {k_stretch, k_spot}, "when they pass, where the way is closed at times"));
    t.push_back(flag("passing_time_known", {k_stretch, k_spot},
                     "a start was given, where the way is closed at times"));
}

void add_crossing_facts(std::vector<FactSpec>& t) {
    t.push_back(choice("of", {k_crossing}, {"road", "rail", "water", "barrier"}, "what is crossed"));
    t.push_back(choice("means", {k_crossing},
                       {"level", "bridge", "tunnel", "culvert", "ford", "ferry", "none"},
                       "how the walk gets across, as far as the map tells"));
    t.push_back(number("carriageways", {k_crossing}, "", "carriageways crossed at this place"));
    t.push_back(choice("facility", {k_crossing},
                       {"none_recorded", "signals", "marked", "zebra", "island", "unmarked", "other"},
                       "help for walkers recorded within 30 m along the road"));
    t.push_back(flag("island", {k_crossing}, "a refuge in the middle is recorded"));
    t.push_back(choice(
        "rail_protection", {k_crossing},
        {"barriers", "gates", "lights", "level_crossing", "open", "none_recorded"},
        "protection recorded at a railway crossing; open: recorded as having neither barriers nor lights; "
        "level_crossing: one is mapped, its kind is not"));
    t.push_back(flag("railway_in_use", {k_crossing}, "the railway is not recorded as disused or lifted"));
    t.push_back(text("railway", {k_crossing}, "kind of railway as the map writes it"));
    t.push_back(choice("waterway", {k_crossing},
                       {"river", "canal", "stream", "drain", "ditch", "lake", "sea", "tidal_channel",
                        "tidal_flat", "brook", "weir", "dam", "other"},
                       "kind of water crossed"));
    t.push_back(flag("on_tidal_way", {k_crossing}, "the way walked is recorded as covered by the tide"));
    t.push_back(flag("intermittent", {k_crossing}, "the water is recorded as dry at times"));
    t.push_back(choice("means_evidence", {k_crossing}, {"tag", "layer", "shared_node", "nothing"},
                       "what the means of crossing was read from"));
    t.push_back(flag("on_path", {k_crossing}, "the walk is on a mapped way there, not over open ground"));
    t.push_back(text("ford_kind", {k_crossing}, "ford, stepping_stones or boat"));
    t.push_back(text("barrier_kind", {k_crossing, k_spot}, "kind of barrier as the map writes it"));
    t.push_back(
        flag("barrier_passable", {k_crossing, k_spot}, "a barrier of a kind that lets walkers through"));
    t.push_back(flag("locked", {k_crossing, k_spot}, "recorded as locked"));
    t.push_back(
        number("pair_count", {k_crossing}, "", "how many cuts of the same two ways were gathered here"));
    t.push_back(flag("at_map_edge", {k_crossing, k_spot}, "the map ends here"));
}

void add_spot_facts(std::vector<FactSpec>& t) {
    t.push_back(choice("kind", {k_spot},
                       {"gap",
                        "null_island",
                        "swapped",
                        "jump",
                        "straight",
                        "single_point",
                        "several_kinds",
                        "guessed",
                        "no_way_there",
                        "other_ways",
                        "off_map",
                        "empty_map",
                        "stale_map",
                        "map_date_unknown",
                        "shortfall",
                        "military_area",
                        "danger_area",
                        "tidal_area",
                        "wetland",
                        "farmyard",
                        "farthest_from_road",
                        "golf_course",
                        "airfield",
                        "school",
                        "quarry",
                        "garden",
                        "building",
                        "building_over_way",
                        "blind_bend",
                        "construction_area",
                        "cliff",
                        "barrier",
                        "gate",
                        "stile",
                        "ambiguous_reading",
                        "private_area",
                        "ground",
                        "cutting",
                        "embankment",
                        "scree",
                        "glacier",
                        "ladder",
                        "hazard",
                        "nature_reserve",
                        "sports_field",
                        "cemetery",
                        "industrial_area",
                        "unreadable_tag",
                        "conditional",
                        "water_edge",
                        "runway",
                        "other"},
                       "what the spot is"));
    t.push_back(number("length_m", {k_stretch, k_spot, k_leg, k_route}, "m",
                       "metres along the route; in `grade` of stretches those joined into one finding"));
    t.push_back(
        number("distance_m", {k_spot}, "m", "distance from the walk; 0 where the walk is in or on it"));
    t.push_back(flag("within", {k_spot}, "the walk enters the area or passes the point itself"));
    t.push_back(flag("off_path", {k_spot}, "the walk is on open ground there"));
    t.push_back(flag("on_recorded_right", {k_spot}, "the walk is on a public right of way or a road there"));
    t.push_back(text("military", {k_spot}, "kind of military area as the map writes it"));
    t.push_back(text("access_tags", {k_spot}, "the access tags found, as written"));
    t.push_back(text("detail", {k_spot}, "what was found, in plain words"));
    t.push_back(
        number("map_age_days", {k_spot, k_route}, "days", "age of the map data on the day of the check"));
    t.push_back(text("map_date", {k_spot, k_route}, "date of the map data"));
    t.push_back(text("other_way", {k_spot}, "the other way the drawn line could be read"));
    t.push_back(number("probability", {k_spot}, "", "probability of the other reading, 0 to 1"));
}

void add_sight_facts(std::vector<FactSpec>& t) {
    const Kinds both{k_stretch, k_crossing}, all{k_stretch, k_crossing, k_spot};
    t.push_back(
        number("sight_low_m", both, "m",
               "sight along the road by its line alone, at its least, with 1.5 m clear of its middle; "
               "600, on stretches 1.5 times the stopping sight distance, stand for more"));
    t.push_back(text("sight", {k_crossing}, "both in words, or that they cannot be told"));
    t.push_back(number("sight_high_m", all, "m", "the same with 4 m clear"));
    t.push_back(number("sight_least_at_m", {k_stretch, k_spot}, "m", "where it is least, along the route"));
    t.push_back(
        number("sight_speed_kmh", all, "km/h",
               "the speed sight is tested at: the limit, on narrow or unrecorded lanes at most 40 mph"));
    t.push_back(text("sight_speed", all, "the same as the region writes it: 40 mph"));
    t.push_back(
        number("stopping_sight_m", all, "m", "way to a standstill at that speed, 2 s and 0.375 g (CD 109)"));
    t.push_back(number("cross_time_s", {k_crossing}, "s", "time the group needs to cross"));
    t.push_back(number("sight_need_m", {k_crossing}, "m", "way traffic makes in that time"));
    t.push_back(number("road_width_m", {k_crossing}, "m", "width to cross, recorded or assumed"));
    t.push_back(choice("road_width_source", {k_crossing}, {"recorded", "lanes", "class"},
                       "how the width is known: lanes of 3 m (A roads 3.65 m), or by class of road"));
    t.push_back(
        choice("sight_grade", both, {"good", "caution", "short", "below_stopping", "unknown"},
               "sight against that needed (crossings) or the stopping sight distance (stretches): good "
               "from 1.5 times with 1.5 m clear, short below once even with 4 m clear, caution between; "
               "below_stopping: under the stopping sight distance even with 4 m clear"));
}

void add_nearby_facts(std::vector<FactSpec>& t) {
    const Kinds both{k_stretch, k_crossing};
    t.push_back(number("pavement_tagged_share", both, "%",
                       "of similar roads nearby, by length, how much says whether there is a pavement"));
    t.push_back(number("speed_tagged_share", both, "%", "how much of them records a speed limit"));
    t.push_back(number("lit_tagged_share", both, "%", "how much of them says whether it is lit"));
    t.push_back(number("right_tagged_share", both, "%",
                       "how much of similar ways nearby carries foot, access or designation"));
    t.push_back(number("surface_tagged_share", both, "%", "how much of them records a surface"));
    t.push_back(
        number("farthest_from_road_min", {k_stretch, k_spot, k_route}, "min",
               "walk from the farthest place of it to a road an ambulance can use, at 4 km/h along mapped "
               "paths and the route; exact up to 30, more than that is at most so much"));
    t.push_back(number("farthest_from_road_at_m", {k_spot, k_route}, "m", "that place, along the route"));
    t.push_back(number("escape_places", {k_route}, "", "places where another way leaves the route"));
    t.push_back(number("escape_places_per_km", {k_route}, "", "the same for a kilometre"));
    t.push_back(number("stiles", {k_route}, "", "stiles on the way"));
    t.push_back(number("gates", {k_route}, "", "gates on the way, kissing gates apart"));
    t.push_back(number("kissing_gates", {k_route}, "", "kissing gates on the way"));
    t.push_back(number("flights_of_steps", {k_route}, "", "flights of steps on the way"));
    t.push_back(number("steps_m", {k_route}, "m", "metres of steps"));
    t.push_back(number("paved_m", {k_route}, "m", "metres on a surface recorded as paved"));
    t.push_back(number("unpaved_m", {k_route}, "m", "metres on any other surface recorded"));
    t.push_back(number("surface_unknown_m", {k_route}, "m", "metres where no surface is recorded"));
    t.push_back(text("surfaces", {k_route}, "metres by surface as the map writes it, the longest first"));
}

void add_party_facts(std::vector<FactSpec>& t) {
    t.push_back(
        number("queue_min", {k_stretch, k_spot}, "min",
               "minutes until the last of the whole party is through where one passes at a time, if "
               "all come at once: by rule of thumb, a stile 15 s each, a kissing gate 6 s, steps 2 s, a "
               "gate or a narrow way 1 s"));
    t.push_back(number("party_cross_min", {k_crossing}, "min",
                       "minutes that the whole party needs to get over a road or railway, group after group, "
                       "waiting for traffic not counted"));
    for (const auto& [metres, from, what] :
         {std::tuple{"longest_without_toilets_m", "longest_without_toilets_from_m", "recorded toilets"},
          std::tuple{"longest_without_water_m", "longest_without_water_from_m", "recorded drinking water"},
          std::tuple{"longest_without_way_off_m", "longest_without_way_off_from_m",
                     "places where another way that may be walked leaves the route"}}) {
        t.push_back(number(metres, {k_route}, "m", what));
        t.push_back(number(from, {k_route}, "m", "where that begins, along the route"));
    }
    t.push_back(flag("parking_at_start", {k_route}, "a car park is recorded within 300 m of the start"));
    t.push_back(flag("toilets_at_start", {k_route}, "toilets are recorded within 300 m of the start"));
    t.push_back(
        number("road_without_pavement_m", {k_route}, "m",
               "metres along roads where no pavement is recorded, service roads and streets for people "
               "apart"));
    t.push_back(number("longest_road_without_pavement_m", {k_route}, "m", "the longest such piece"));
    t.push_back(number("road_without_pavement_share", {k_route}, "%", "their share of the route"));
}

void add_condition_facts(std::vector<FactSpec>& t) {
    t.push_back(text("smoothness", {k_stretch}, "smoothness for wheels as the map writes it"));
    t.push_back(text("tracktype", {k_stretch}, "firmness of a track as the map writes it: grade1 to grade5"));
    t.push_back(number("incline_pct", {k_stretch}, "%", "steepness recorded on the way, up or down"));
    t.push_back(text("obstacle", {k_stretch},
                     "what is recorded as blocking the way: vegetation, fallen_tree, landslide"));
    t.push_back(flag("overgrown", {k_stretch}, "the way is recorded as overgrown; unknown where nothing is"));
    t.push_back(flag("informal", {k_stretch}, "a path trodden by people, not laid out or signed"));
    t.push_back(choice("wheelchair", {k_stretch, k_spot}, {"yes", "limited", "no", "other"},
                       "whether wheelchairs get along or through, as recorded"));
    t.push_back(choice("pushchair", {k_stretch, k_spot}, {"yes", "limited", "no", "other"},
                       "whether pushchairs do, as recorded"));
    t.push_back(number("gap_m", {k_stretch, k_spot}, "m", "how wide the way through is, as recorded"));
    t.push_back(text("oneway_on_foot", {k_stretch},
                     "tags by which walkers may go one way only; unknown where there are none"));
    t.push_back(flag("against_oneway", {k_stretch}, "the walk goes the way that those tags do not allow"));
    t.push_back(choice("dogs_allowed", {k_stretch}, {"yes", "leashed", "no", "other"},
                       "what is recorded about dogs"));
    t.push_back(
        flag("right_from_gate", {k_stretch}, "a gate on the way keeps walkers out, the way itself does not"));
}

void add_leg_facts(std::vector<FactSpec>& t) {
    t.push_back(number("leg_number", {k_leg}, "", "which leg of the walk, from 1"));
    t.push_back(text("from", {k_leg}, "where the leg begins"));
    t.push_back(text("to", {k_leg}, "where the leg ends"));
    t.push_back(number("straight_m", {k_leg}, "m", "from one end straight to the other"));
    t.push_back(number("ascent_m", {k_leg}, "m", "climbed; unknown where a height is"));
    t.push_back(number("descent_m", {k_leg}, "m", "descended; unknown where a height is"));
    t.push_back(number("walking_min", {k_leg}, "min", "walking time, rests not counted"));
    t.push_back(number("rest_min", {k_leg}, "min", "rests that go with the walking time"));
    t.push_back(number("road_m", {k_leg}, "m", "along roads, with pavement or without"));
    t.push_back(number("major_road_m", {k_leg}, "m", "along major roads and motorways"));
    t.push_back(number("path_m", {k_leg}, "m", "along paths and tracks of all kinds and pavements"));
    t.push_back(number("open_ground_m", {k_leg}, "m", "off any mapped way"));
    t.push_back(number("escape_ways", {k_leg}, "", "roads met by which a vehicle can come to help"));
    t.push_back(number("escape_ways_per_km", {k_leg}, "", "the same for a kilometre"));
}

void add_time_facts(std::vector<FactSpec>& t) {
    const Kinds both{k_leg, k_route};
    t.push_back(flag("start_given", {k_route}, "a date and a time of day were given for the start"));
    t.push_back(
        flag("starts_before_dawn", {k_route},
             "at the start it is darker than civil twilight: the sun's centre is more than 6 degrees down"));
    t.push_back(
        flag("ends_after_sunset", both,
             "the sun is down at the end, rests included; unknown where heights are, unless it is so even "
             "without climbs"));
    t.push_back(flag("ends_after_dusk", both, "the same of the end of civil twilight"));
    t.push_back(flag("sun_sets_on_it", {k_leg}, "the sun is up where the leg begins and down where it ends"));
    t.push_back(number("daylight_left_min", {k_route}, "min",
                       "from the end of the walk to sunset; less than 0 after it"));
    t.push_back(number("day_length_h", {k_route}, "h", "walking and resting, by the party's method"));
    t.push_back(number("day_length_least_h", {k_route}, "h",
                       "the same, or where heights are unknown what it takes at least"));
    t.push_back(text("day_length", {k_route}, "the same in words"));
    t.push_back(flag("rest_planned", {k_route}, "the party's figures hold time for rests"));
    t.push_back(text("starts_at", {k_route}, "start by the clock of the place"));
    t.push_back(text("ends_at", both, "end by the clock of the place"));
    t.push_back(
        text("daylight", {k_route}, "sunrise, sunset and end of civil twilight by the clock of the place"));
}

void add_card_facts(std::vector<FactSpec>& t) {
    const std::vector<std::string_view> faults{"none",       "not_given",    "not_readable",
                                               "off_line",   "out_of_order", "swapped",
                                               "transposed", "wrong_square", "in_sea"};
    t.push_back(text("card_leg", {k_leg}, "the card's own number of the leg and its line in the file"));
    t.push_back(number("card_distance_m", {k_leg}, "m", "distance on the card"));
    t.push_back(number("card_distance_off_m", {k_leg}, "m", "between the card's distance and the walk's"));
    t.push_back(number("card_distance_off_pct", {k_leg}, "%", "the same as a share of the walk's"));
    t.push_back(number("card_distance_beyond_m", {k_leg}, "m",
                       "the same less what writing, plotting and a string on the map are good for"));
    t.push_back(flag("card_distance_is_straight", {k_leg},
                     "the card's distance is that of the straight line, and the walk is longer"));
    t.push_back(text("card_bearing", {k_leg}, "direction as written on the card"));
    t.push_back(number("card_bearing_deg", {k_leg}, "deg", "direction on the card"));
    t.push_back(number("card_bearing_off_deg", {k_leg}, "deg",
                       "between it and the straight line from end to end, 0 to 180"));
    t.push_back(number("card_bearing_beyond_deg", {k_leg}, "deg",
                       "the same less half the step it is written in and what the references are good for"));
    t.push_back(flag("card_bearing_reversed", {k_leg}, "it points back along the leg"));
    t.push_back(flag("card_bearing_is_leaving", {k_leg}, "it is that of the way on leaving"));
    t.push_back(
        flag("card_bearing_wrong_north", {k_leg},
             "it fits once it is taken from the other north, and the two are 5 degrees apart or more"));
    t.push_back(text("walk_bearing", {k_leg}, "direction of the straight line, on the grid and by compass"));
    t.push_back(choice("card_from_reference", {k_leg}, faults,
                       "what is wrong with the reference where the leg begins; unknown where the leg before "
                       "ends there"));
    t.push_back(
        choice("card_to_reference", {k_leg}, faults, "what is wrong with the reference where it ends"));
    t.push_back(text("card_reference_detail", {k_leg}, "both in words"));
    t.push_back(number("card_reference_off_m", {k_leg}, "m", "how far the reference is off the line"));
    t.push_back(flag("card_begins_elsewhere", {k_leg}, "the leg does not begin where the one before ended"));
    t.push_back(number("card_ascent_m", {k_leg}, "m", "climb on the card"));
    t.push_back(number("card_ascent_off_m", {k_leg}, "m", "between it and the climb of the walk"));
    t.push_back(number("card_ascent_off_pct", {k_leg}, "%", "the same as a share of the walk's"));
    t.push_back(number("card_travel_min", {k_leg}, "min", "walking time on the card"));
    t.push_back(
        number("card_time_short_min", {k_leg}, "min", "how much it is under that of the party's method"));
    t.push_back(number("card_time_short_pct", {k_leg}, "%", "the same as a share"));
    t.push_back(number("card_time_long_pct", {k_leg}, "%", "how much it is over it"));
    t.push_back(
        number("card_leg_sum_off_min", {k_leg}, "min", "between travel and rest and the card's sum of both"));
    t.push_back(number("card_clock_min", {k_leg}, "min", "by the clock of the card from leaving to arrival"));
    t.push_back(number("card_spent_min", {k_leg}, "min", "by its times for travel and rest"));
    t.push_back(number("card_clock_off_min", {k_leg}, "min", "between the two"));
    t.push_back(flag("card_escape_given", {k_leg}, "the card names a way out"));
    t.push_back(number("card_total_distance_off_m", {k_route}, "m",
                       "between the card's total and the sum of its legs"));
    t.push_back(number("card_total_ascent_off_m", {k_route}, "m", "the same of the climbs"));
    t.push_back(number("card_total_travel_off_min", {k_route}, "min", "the same of the walking times"));
    t.push_back(number("card_total_time_off_min", {k_route}, "min", "the same of walking and resting"));
    t.push_back(
        number("card_remarks", {k_route}, "", "what on the card was not understood or had to be supposed"));
    t.push_back(text("card_first_remark", {k_route}, "the first of these"));
}

std::vector<FactSpec> made_table() {
    std::vector<FactSpec> table;
    add_way_facts(table);
    add_stretch_facts(table);
    add_crossing_facts(table);
    add_spot_facts(table);
    add_sight_facts(table);
    add_nearby_facts(table);
    add_party_facts(table);
    add_condition_facts(table);
    add_leg_facts(table);
    add_time_facts(table);
    add_card_facts(table);
    std::sort(table.begin(), table.end(),
              [](const FactSpec& a, const FactSpec& b) { return a.name < b.name; });
    return table;
}

bool fits(const FactSpec& spec, const FactValue& value) {
    switch (spec.type) {
    case FactType::flag:
        return std::holds_alternative<bool>(value);
    case FactType::number:
        return std::holds_alternative<double>(value);
    case FactType::text:
        return std::holds_alternative<std::string>(value);
    case FactType::choice:
        break;
    }
    const auto* word = std::get_if<std::string>(&value);
    return word && std::find(spec.choices.begin(), spec.choices.end(), *word) != spec.choices.end();
}

std::string shown(const FactValue& value) {
    if (const auto* b = std::get_if<bool>(&value)) return *b ? "true" : "false";
    if (const auto* d = std::get_if<double>(&value)) return std::to_string(*d);
    return "\"" + std::get<std::string>(value) + "\"";
}

auto place_of(auto& values, std::string_view name) {
    return std::lower_bound(values.begin(), values.end(), name,
                            [](const auto& entry, std::string_view wanted) { return entry.first < wanted; });
}

} // namespace

std::span<const FactSpec> fact_table() {
    static const std::vector<FactSpec> table = made_table();
    return table;
}

const FactSpec* find_fact(std::string_view name) {
    const auto table = fact_table();
    const auto at =
        std::lower_bound(table.begin(), table.end(), name,
                         [](const FactSpec& spec, std::string_view wanted) { return spec.name < wanted; });
    return at != table.end() && at->name == name ? &*at : nullptr;
}

const char* to_string(SubjectKind kind) {
    switch (kind) {
    case SubjectKind::stretch:
        return "stretch";
    case SubjectKind::crossing:
        return "crossing";
    case SubjectKind::spot:
        return "spot";
    case SubjectKind::leg:
        return "leg";
    case SubjectKind::route:
        return "route";
    }
    throw InternalError("a subject kind without a name");
}

const char* to_string(FactType type) {
    switch (type) {
    case FactType::flag:
        return "flag";
    case FactType::number:
        return "number";
    case FactType::text:
        return "text";
    case FactType::choice:
        return "choice";
    }
    throw InternalError("a fact type without a name");
}

void Facts::set(std::string_view name, FactValue value) {
    const FactSpec* spec = find_fact(name);
    if (!spec) throw InternalError("no fact \"" + std::string(name) + "\" in the table of facts");
    if (!fits(*spec, value))
        throw InternalError("the fact \"" + std::string(name) + "\" cannot be " + shown(value) +
                            ": it is a " + to_string(spec->type));
    const auto at = place_of(m_values, name);
    if (at != m_values.end() && at->first == name)
        at->second = std::move(value);
    else
        m_values.emplace(at, std::string(name), std::move(value));
}

void Facts::set_unknown(std::string_view name) {
    if (!find_fact(name)) throw InternalError("no fact \"" + std::string(name) + "\" in the table of facts");
    const auto at = place_of(m_values, name);
    if (at != m_values.end() && at->first == name)
        at->second.reset();
    else
        m_values.emplace(at, std::string(name), std::nullopt);
}

std::optional<FactValue> Facts::get(std::string_view name) const {
    const auto at = place_of(m_values, name);
    return at != m_values.end() && at->first == name ? at->second : std::nullopt;
}

std::string Facts::text(std::string_view name, std::string_view otherwise) const {
    const auto value = get(name);
    const auto* word = value ? std::get_if<std::string>(&*value) : nullptr;
    return word ? *word : std::string(otherwise);
}

std::optional<double> Facts::number(std::string_view name) const {
    const auto value = get(name);
    const auto* n = value ? std::get_if<double>(&*value) : nullptr;
    return n ? std::optional(*n) : std::nullopt;
}

std::optional<bool> Facts::flag(std::string_view name) const {
    const auto value = get(name);
    const auto* b = value ? std::get_if<bool>(&*value) : nullptr;
    return b ? std::optional(*b) : std::nullopt;
}

} // namespace waywarden::survey

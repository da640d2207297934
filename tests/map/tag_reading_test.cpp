#include "map/tag_reading.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <sstream>

using namespace waywarden;
using map::Grade;
using map::Pavement;
using map::Right;
using map::Tags;
using map::WayFacts;

namespace {

constexpr double k_kmh_per_mph = 1.609344;

/// "highway=path foot=yes": a blank separates tags, %20 stands for one in a value.
Tags tags_of(const std::string& text) {
    std::istringstream in(text);
    std::vector<std::pair<std::string, std::string>> pairs;
    for (std::string word; in >> word;) {
        const auto equals = word.find('=');
        std::string value = word.substr(equals + 1);
        for (auto at = value.find("%20"); at != std::string::npos; at = value.find("%20"))
            value.replace(at, 3, " ");
        pairs.emplace_back(word.substr(0, equals), value);
    }
    return Tags(pairs);
}

const region::Region& region_of(const std::string& name) {
    static std::map<std::string, region::Region> loaded;
    const auto found = loaded.find(name);
    return found != loaded.end() ? found->second : loaded.emplace(name, region::load(name)).first->second;
}

WayFacts facts(const std::string& tags, const std::string& region = "england") {
    return map::read_way(tags_of(tags), region_of(region));
}

} // namespace

// Source: OSM wiki, Key:maxspeed: a bare number is km/h, others carry a unit; 1 mile = 1.609344 km.
TEST_CASE("speeds as tags write them") {
    struct Row {
        const char* value;
        double kmh;
    };
    for (const Row& row : {Row{"50", 50},
                           {"50 km/h", 50},
                           {"50kph", 50},
                           {"30 mph", 48.28032},
                           {"30mph", 48.28032},
                           {"30 MPH", 48.28032},
                           {" 60 mph ", 96.56064},
                           {"70 mph", 112.65408},
                           {"5 knots", 9.26},
                           {"20 mph;40 mph", 64.37376},
                           {"60; 30", 60},
                           {"48.28", 48.28}}) {
        CAPTURE(std::string(row.value));
        const auto kmh = map::read_speed(row.value);
        REQUIRE(kmh);
        CHECK(*kmh == doctest::Approx(row.kmh).epsilon(1e-12));
    }
    CHECK(std::isinf(map::read_speed("none").value()));
    CHECK(map::read_speed("walk").value() < 10); // common practice, no source
    for (const char* value : {"", "signals", "variable", "RO:urban", "national", "fast", "30 mpg", "-30", "0",
                              "1e9", "30 mph;fast", "nan", "inf", "30 mph mph"})
        CHECK_FALSE(map::read_speed(value));
}

// Sources: OSM wiki Key:maxspeed, Key:maxspeed:type; GOV.UK Speed limits. mph < 0: no limit; 0: unknown.
TEST_CASE("the limit of a road, and how it is known") {
    struct Row {
        const char *region, *tags;
        double mph;
        Grade grade;
    };
    for (const Row& row : {
             Row{"england", "highway=tertiary maxspeed=60%20mph", 60, Grade::recorded},
             {"england", "highway=tertiary maxspeed=30mph", 30, Grade::recorded},
             {"england", "highway=tertiary maxspeed:forward=30%20mph maxspeed:backward=50%20mph", 50,
              Grade::recorded},
             {"england", "highway=tertiary maxspeed=30%20mph maxspeed:forward=40%20mph", 40, Grade::recorded},
             {"england", "highway=tertiary maxspeed:lanes=30%20mph|50%20mph", 50, Grade::recorded},
             {"england", "highway=tertiary maxspeed=30%20mph;40%20mph", 40, Grade::recorded},
             {"england", "highway=tertiary maxspeed=80", 80 / k_kmh_per_mph, Grade::recorded},
             {"england", "highway=tertiary maxspeed=60", 60, Grade::recorded}, // the worse of two readings
             {"general", "highway=tertiary maxspeed=60", 60 / k_kmh_per_mph, Grade::recorded},
             {"england", "highway=tertiary maxspeed:type=GB:nsl_single", 60, Grade::zone},
             {"england", "highway=primary oneway=yes maxspeed:type=GB:nsl_dual", 70, Grade::zone},
             {"england", "highway=primary source:maxspeed=UK:nsl_dual", 70, Grade::zone},
             {"england", "highway=tertiary maxspeed:type=GB_nsl:single", 60, Grade::zone},
             {"england", "highway=tertiary maxspeed:type=gb:national", 60, Grade::zone},
             {"england", "highway=primary oneway=yes maxspeed:type=gb:national", 70, Grade::zone},
             {"england", "highway=residential maxspeed:type=GB:zone20", 20, Grade::zone},
             {"england", "highway=residential maxspeed:type=GB:20zone", 20, Grade::zone},
             {"england", "highway=residential zone:maxspeed=GB:20", 20, Grade::zone},
             {"england", "highway=residential maxspeed:type=GB:nsl_restricted", 30, Grade::zone},
             {"wales", "highway=residential maxspeed:type=GB-WLS:nsl_restricted", 20, Grade::zone},
             {"wales", "highway=residential maxspeed:type=GB:nsl_restricted", 30, Grade::zone},
             {"england", "highway=tertiary maxspeed=national", 60, Grade::zone},
             {"england", "highway=motorway maxspeed:type=GB:motorway", 70, Grade::zone},
             {"general", "highway=tertiary maxspeed=RO:urban", 50 / k_kmh_per_mph, Grade::zone},
             {"general", "highway=tertiary maxspeed:type=LI:urban", 50 / k_kmh_per_mph, Grade::zone},
             {"general", "highway=tertiary source:maxspeed=FL:zone:30", 30 / k_kmh_per_mph, Grade::zone},
             {"general", "highway=tertiary zone:maxspeed=30", 30 / k_kmh_per_mph, Grade::zone},
             {"general", "highway=tertiary maxspeed:type=GB:nsl_single", 60, Grade::zone},
             {"england", "highway=residential", 30, Grade::presumed},
             {"england", "highway=residential lit=no", 60, Grade::presumed},
             {"england", "highway=tertiary", 60, Grade::presumed},
             {"england", "highway=tertiary lit=yes", 30, Grade::presumed},
             {"england", "highway=tertiary lit=no", 60, Grade::presumed},
             {"england", "highway=trunk", 60, Grade::presumed},
             {"england", "highway=trunk lit=yes", 60, Grade::presumed},
             {"england", "highway=trunk oneway=yes", 70, Grade::presumed},
             {"england", "highway=primary oneway=yes", 70, Grade::presumed},
             {"england", "highway=primary oneway=yes dual_carriageway=no", 60, Grade::presumed},
             {"england", "highway=primary dual_carriageway=yes", 70, Grade::presumed},
             {"england", "highway=primary junction=roundabout", 60, Grade::presumed},
             {"england", "highway=motorway", 70, Grade::presumed},
             {"england", "highway=residential oneway=yes", 30, Grade::presumed},
             {"england", "highway=tertiary maxspeed=signals", 60, Grade::presumed},
             {"wales", "highway=residential", 20, Grade::presumed},
             {"wales", "highway=tertiary lit=yes", 20, Grade::presumed},
             {"wales", "highway=tertiary", 60, Grade::presumed},
             {"isle-of-man", "highway=tertiary maxspeed=none", -1, Grade::recorded},
             {"isle-of-man", "highway=tertiary", -1, Grade::presumed},
             {"isle-of-man", "highway=residential", 30, Grade::presumed},
             {"general", "highway=tertiary", 0, Grade::unknown},
             {"general", "highway=motorway", 0, Grade::unknown},
             {"england", "highway=footway", 0, Grade::unknown},
         }) {
        CAPTURE(std::string(row.region));
        CAPTURE(std::string(row.tags));
        const auto speed = facts(row.tags, row.region).speed;
        CAPTURE(speed.because);
        CHECK_FALSE(speed.unreadable);
        CHECK(speed.grade == row.grade);
        REQUIRE(speed.limit_kmh.has_value() == (row.mph != 0));
        if (row.mph < 0) CHECK(std::isinf(*speed.limit_kmh));
        if (row.mph > 0) CHECK(*speed.limit_kmh == doctest::Approx(row.mph * k_kmh_per_mph).epsilon(1e-12));
    }
}

// OSM wiki, Conditional restrictions: VALUE @ (condition).
TEST_CASE("of limits that hold at times the highest counts, and none makes a road slower") {
    const auto mph = [](const char* tags) { return *facts(tags).speed.limit_kmh / k_kmh_per_mph; };
    CHECK(mph("highway=tertiary maxspeed=20%20mph maxspeed:conditional=40%20mph%20@%20(22:00-06:00)") ==
          doctest::Approx(40));
    CHECK(mph("highway=tertiary maxspeed=20%20mph "
              "maxspeed:conditional=30%20mph%20@%20(Sa,Su;PH%20off);50%20mph%20@%20winter") ==
          doctest::Approx(50));
    CHECK(
        mph("highway=tertiary maxspeed=60%20mph maxspeed:conditional=20%20mph%20@%20(Mo-Fr%2008:00-09:00)") ==
        doctest::Approx(60));
    CHECK(mph("highway=tertiary maxspeed:conditional=20%20mph%20@%20(Mo-Fr%2008:00-09:00)") ==
          doctest::Approx(60)); // presumed: the rest of the day nobody recorded
    const auto speed =
        facts("highway=tertiary maxspeed=20 maxspeed:conditional=40%20@%20(22:00-06:00)").speed;
    CHECK(*speed.limit_kmh == doctest::Approx(40 * k_kmh_per_mph));
    CHECK(speed.because.find("maxspeed:conditional") != std::string::npos);
    CHECK(facts("highway=tertiary maxspeed=30%20mph maxspeed:conditional=").speed.grade == Grade::recorded);
}

TEST_CASE("a speed that cannot be read is not passed over") {
    for (const char* tags :
         {"highway=tertiary maxspeed=fast", "highway=tertiary maxspeed:type=GB:nsl_tripple",
          "highway=tertiary maxspeed:type=XX:urban", "highway=tertiary source:maxspeed=GB:nsl_sinlge",
          "highway=tertiary maxspeed=30%20mpg", "highway=tertiary maxspeed:type=rubbish"}) {
        CAPTURE(std::string(tags));
        const auto speed = facts(tags).speed;
        CHECK(speed.unreadable);
        CHECK(speed.grade == Grade::presumed); // and the region's limit is judged meanwhile
        CHECK(speed.because.find("could not be read") != std::string::npos);
    }
    CHECK_FALSE(facts("highway=tertiary source:maxspeed=survey").speed.unreadable);
    CHECK_FALSE(facts("highway=tertiary maxspeed=30%20mph maxspeed:type=sign").speed.unreadable);
    const auto general = facts("highway=tertiary maxspeed=fast", "general").speed;
    CHECK(general.words == "not readable");
    CHECK_FALSE(general.limit_kmh);
}

TEST_CASE("limits in words, and contradictions") {
    CHECK(facts("highway=tertiary maxspeed=60%20mph").speed.words == "60 mph");
    CHECK(facts("highway=tertiary maxspeed=50", "general").speed.words == "50 km/h");
    CHECK(facts("highway=tertiary maxspeed=none", "isle-of-man").speed.words == "no limit");
    CHECK(facts("highway=tertiary", "general").speed.words == "not recorded");
    CHECK(facts("highway=tertiary").speed.because ==
          "presumed in England for tertiary, lighting not recorded, single carriageway");
    const auto stale = facts("highway=tertiary maxspeed=40%20mph maxspeed:type=GB:nsl_single").speed;
    CHECK(stale.conflicting);
    CHECK(stale.words == "40 mph");
    CHECK_FALSE(facts("highway=tertiary maxspeed=60%20mph maxspeed:type=GB:nsl_single").speed.conflicting);
}

// Sources: OSM wiki, Key:access, Key:foot, Key:designation (the more specific key wins); Highway Code rule 6;
// Land Reform (Scotland) Act 2003 s.1.
TEST_CASE("the right on foot") {
    struct Row {
        const char *region, *tags;
        Right right;
        bool conflicting;
    };
    for (const Row& row : {
             Row{"england", "highway=footway designation=public_footpath", Right::recorded, false},
             {"england", "highway=track designation=restricted_byway", Right::recorded, false},
             {"england", "highway=track designation=public_footpath access=private", Right::recorded, false},
             {"england", "highway=service foot=designated access=private", Right::recorded, false},
             {"england", "highway=service access=private", Right::restricted, false},
             {"england", "highway=track access=no", Right::forbidden, false},
             {"england", "highway=path foot=no", Right::forbidden, false},
             {"england", "highway=path foot=private", Right::forbidden, false},
             {"england", "highway=path foot=no designation=public_footpath", Right::forbidden, true},
             {"england", "highway=path foot=private designation=public_footpath", Right::forbidden, true},
             {"england", "highway=path foot=permissive", Right::permissive, false},
             {"england", "highway=path access=permissive", Right::permissive, false},
             {"england", "highway=path designation=permissive_footpath", Right::permissive, false},
             {"england", "highway=path foot=yes;permissive", Right::permissive, false},
             {"england", "highway=path foot=yes;no", Right::forbidden, true},
             {"england", "highway=path designation=public_bridleway;public_footpath", Right::recorded, false},
             {"england", "highway=path foot=yes", Right::recorded, false},
             {"england", "highway=service access=private foot=yes", Right::recorded, false},
             {"england", "highway=tertiary foot=yes", Right::road, false},
             {"england", "highway=tertiary", Right::road, false},
             {"england", "highway=tertiary access=yes", Right::road, false},
             {"england", "highway=trunk", Right::road, false},
             {"england", "highway=trunk foot=no", Right::forbidden, false},
             {"england", "highway=unclassified access=private", Right::restricted, false},
             {"england", "highway=unclassified access=destination", Right::restricted, false},
             {"england", "highway=service access=customers", Right::restricted, false},
             {"england", "highway=track access=agricultural", Right::restricted, false},
             {"england", "highway=track access=forestry", Right::restricted, false},
             {"england", "highway=track access=delivery", Right::restricted, false},
             {"england", "highway=track access=permit", Right::restricted, false},
             {"england", "highway=track access=military", Right::forbidden, false},
             {"england", "highway=tertiary foot=use_sidepath", Right::restricted, false},
             {"england", "highway=tertiary foot=discouraged", Right::road, false},
             {"england", "highway=path access=discouraged", Right::presumed, false},
             {"england", "highway=path foot=unknown", Right::unknown, false},
             {"england", "highway=path foot=perhaps", Right::unknown, false},
             {"england", "highway=path", Right::presumed, false},
             {"england", "highway=bridleway", Right::presumed, false},
             {"england", "highway=cycleway", Right::presumed, false},
             {"england", "highway=steps", Right::presumed, false},
             {"england", "highway=track", Right::unknown, false},
             {"england", "highway=service", Right::unknown, false},
             {"england", "highway=motorway", Right::forbidden, false},
             {"england", "highway=motorway_link foot=yes", Right::forbidden, true},
             {"england", "highway=trunk motorroad=yes", Right::forbidden, false},
             {"england", "railway=rail", Right::forbidden, false},
             {"england", "railway=abandoned abandoned:railway=rail", Right::unknown, false},
             {"england", "highway=path foot=yes foot:conditional=no%20@%20(Mar-Jul)", Right::unknown, false},
             {"england", "highway=path foot=no foot:conditional=yes%20@%20(Mar-Jul)", Right::forbidden,
              false},
             {"england", "highway=path designation=public_footpath foot:conditional=no%20@%20(Mar)",
              Right::unknown, false},
             {"england", "highway=tertiary access:conditional=no%20@%20(Mo-Fr)", Right::unknown, false},
             {"england", "highway=tertiary foot=yes access:conditional=no%20@%20(Mo-Fr)", Right::road, false},
             {"england", "highway=no designation=public_footpath", Right::recorded, false},
             {"scotland", "highway=path", Right::open_access, false},
             {"scotland", "highway=track", Right::open_access, false},
             {"scotland", "highway=track access=private", Right::restricted, false},
             {"scotland", "highway=motorway", Right::forbidden, false},
             {"ireland", "highway=path", Right::unknown, false},
             {"general", "highway=bridleway", Right::unknown, false},
             {"general", "highway=cycleway", Right::unknown, false},
             {"general", "highway=path", Right::presumed, false},
             {"general", "highway=residential", Right::road, false},
         }) {
        CAPTURE(std::string(row.region));
        CAPTURE(std::string(row.tags));
        const auto right = facts(row.tags, row.region).right;
        CHECK(std::string(map::to_string(right.right)) == map::to_string(row.right));
        CHECK(right.conflicting == row.conflicting);
        CHECK(!right.because.empty());
    }
    const auto reading = facts("highway=path foot=private designation=public_footpath").right;
    CHECK(reading.value == "private");
    CHECK(reading.because == std::vector<std::string>{"foot=private", "designation=public_footpath"});
    CHECK(facts("highway=path").right.grade == Grade::presumed);
    CHECK(facts("highway=path foot:conditional=no%20@%20(Mar)").conditional.size() == 1);
}

// Source: OSM wiki, Key:sidewalk.
TEST_CASE("pavements") {
    struct Row {
        const char* tags;
        Pavement pavement;
    };
    for (const Row& row : {Row{"", Pavement::unknown},
                           {"sidewalk=both", Pavement::both},
                           {"sidewalk=left", Pavement::left},
                           {"sidewalk=right", Pavement::right},
                           {"sidewalk=yes", Pavement::yes},
                           {"sidewalk=no", Pavement::none},
                           {"sidewalk=none", Pavement::none},
                           {"sidewalk=separate", Pavement::separate},
                           {"sidewalk=lane", Pavement::none},
                           {"sidewalk=left;right", Pavement::both},
                           {"sidewalk=perhaps", Pavement::unknown},
                           {"sidewalk:both=yes", Pavement::both},
                           {"sidewalk:both=separate", Pavement::separate},
                           {"sidewalk:both=no", Pavement::none},
                           {"sidewalk:left=yes", Pavement::left},
                           {"sidewalk:left=no", Pavement::unknown},
                           {"sidewalk:left=no sidewalk:right=no", Pavement::none},
                           {"sidewalk:left=separate sidewalk:right=no", Pavement::separate},
                           {"sidewalk:left=no sidewalk:right=yes", Pavement::right},
                           {"footway=left", Pavement::left},
                           {"footway=both", Pavement::both},
                           {"footway=none", Pavement::none},
                           {"sidewalk=no sidewalk:right=yes", Pavement::right},
                           {"sidewalk=both sidewalk:foot=no", Pavement::none},
                           {"sidewalk=yes sidewalk:foot=no", Pavement::none},
                           {"sidewalk=both sidewalk:left:foot=no", Pavement::right},
                           {"sidewalk:left=yes sidewalk:left:foot=private", Pavement::unknown}}) {
        CAPTURE(std::string(row.tags));
        CHECK(std::string(map::to_string(facts(std::string("highway=tertiary ") + row.tags).pavement)) ==
              map::to_string(row.pavement));
    }
    CHECK(facts("highway=footway footway=sidewalk").pavement == Pavement::unknown);
}

// Source: OSM wiki, Map features/Units; 1 ft = 0.3048 m.
TEST_CASE("widths, lanes, layers") {
    struct Row {
        const char* value;
        double metres;
    };
    for (const Row& row : {Row{"2", 2},
                           {"2.5%20m", 2.5},
                           {"2m", 2},
                           {"60cm", 0.6},
                           {"6'", 1.8288},
                           {"6'7\"", 2.0066},
                           {"10%20ft", 3.048},
                           {"8\"", 0.2032}}) {
        CAPTURE(std::string(row.value));
        const auto width = facts(std::string("highway=path width=") + row.value).width_m;
        REQUIRE(width);
        CHECK(*width == doctest::Approx(row.metres).epsilon(1e-12));
    }
    for (const char* value : {"narrow", "2,5", "-1", "0", "2%20mi", "6'x\""})
        CHECK_FALSE(facts(std::string("highway=path width=") + value).width_m);
    CHECK(facts("highway=path est_width=1.5").width_m == 1.5);
    CHECK(facts("highway=tertiary lanes=2").lanes == 2);
    CHECK(facts("highway=tertiary lanes=2;3").lanes == 3);
    CHECK(facts("highway=tertiary lanes=1.5").lanes == 2);
    CHECK_FALSE(facts("highway=tertiary lanes=many").lanes);
    CHECK(facts("highway=path layer=-1").layer == -1);
    CHECK_FALSE(facts("highway=path layer=up").layer);
}

TEST_CASE("one way, two carriageways, lamps") {
    CHECK(facts("highway=primary oneway=-1").oneway == true);
    CHECK(facts("highway=primary junction=roundabout").oneway == true);
    CHECK(facts("highway=primary oneway=no").oneway == false);
    CHECK_FALSE(facts("highway=primary").oneway);
    CHECK_FALSE(facts("highway=primary oneway=reversible").oneway);
    CHECK_FALSE(facts("highway=primary oneway=yes").dual_carriageway);
    CHECK(facts("highway=primary").dual_carriageway == false);
    CHECK(facts("highway=primary oneway=yes dual_carriageway=yes").dual_carriageway == true);
    CHECK(facts("highway=primary oneway=yes source:maxspeed=UK:nsl_dual").dual_carriageway == true);
    CHECK(facts("highway=primary oneway=yes maxspeed:type=GB:nsl_single").dual_carriageway == false);
    CHECK(facts("highway=primary lit=24/7").lit == true);
    CHECK_FALSE(facts("highway=primary lit=interval").lit);
}

// Source: OSM wiki: Key:bridge, Key:bridge:condition, Lifecycle prefix (from memory).
TEST_CASE("bridges that carry nobody, and bridges by words that are not known") {
    using State = waywarden::map::BridgeReading::State;
    const auto read = [](const char* tags) { return facts(tags).bridge_as; };
    for (const char* word : {"closed", "damaged", "missing", "washed_out", "broken", "unsafe", "former",
                             "collapsed", "yes;collapsed", "collapsed;yes", "Removed", "construction"}) {
        CAPTURE(word);
        const std::string tags = std::string("highway=path bridge=") + word;
        CHECK(read(tags.c_str()).state == State::gone);
        CHECK_FALSE(facts(tags.c_str()).bridge);
        CHECK_FALSE(read(tags.c_str()).word.empty());
    }
    for (const char* word :
         {"yes", "Yes", "boardwalk", "movable", "viaduct;covered", "culvert", "suspension"}) {
        CAPTURE(word);
        CHECK(read((std::string("highway=path bridge=") + word).c_str()).state == State::stands);
    }
    for (const char* word : {"no", "none", "false", "low_water_crossing"}) {
        CAPTURE(word);
        CHECK(read((std::string("highway=path bridge=") + word).c_str()).state == State::none);
    }
    CHECK(read("highway=path bridge=sagging").state == State::unclear);
    CHECK_FALSE(facts("highway=path bridge=sagging").bridge);
    CHECK(read("highway=path bridge=yes bridge:condition=collapsed").word == "collapsed");
    CHECK(read("highway=path bridge=yes demolished=yes").word == "demolished");
    CHECK(read("highway=path demolished:bridge=yes").word == "demolished");
    CHECK(read("highway=path proposed:bridge=yes").state == State::none);
    CHECK(read("highway=path bridge=yes bridge:condition=poor").state == State::stands);
}

// Source: OSM wiki: Key:ford, Key:tidal, Key:tunnel, Key:bridge, Key:sac_scale (seven grades),
// Key:trail_visibility.
TEST_CASE("structures, water and ground") {
    CHECK(facts("highway=path ford=stepping_stones").ford_kind == "stepping_stones");
    CHECK(facts("highway=path ford=yes").ford_kind == "ford");
    CHECK_FALSE(facts("highway=path ford=no").ford);
    CHECK(facts("highway=path waterway=stream").ford);
    CHECK_FALSE(facts("highway=path waterway=stream tunnel=culvert").ford);
    CHECK_FALSE(facts("waterway=stream").ford);
    CHECK(facts("highway=track bridge=low_water_crossing").ford);
    CHECK_FALSE(facts("highway=track bridge=low_water_crossing").bridge);
    CHECK(facts("highway=track bridge=viaduct").bridge);
    CHECK_FALSE(facts("highway=track bridge=no").bridge);
    CHECK_FALSE(facts("highway=track bridge=NO").bridge);
    CHECK(facts("highway=track bridge=no").bridge_as.word.empty());
    CHECK(facts("waterway=stream tunnel=culvert").culvert);
    CHECK_FALSE(facts("waterway=stream tunnel=culvert").tunnel);
    CHECK(facts("highway=path tunnel=building_passage").tunnel);
    CHECK(facts("highway=path tidal=yes").tidal);
    CHECK(facts("natural=wetland wetland=tidalflat").tidal);
    CHECK(facts("highway=steps").steps);
    CHECK(facts("highway=via_ferrata").via_ferrata);
    for (const char* grade : {"strolling", "hiking", "mountain_hiking", "demanding_mountain_hiking",
                              "alpine_hiking", "demanding_alpine_hiking", "difficult_alpine_hiking"})
        CHECK(facts(std::string("highway=path sac_scale=") + grade).sac_scale == grade);
    CHECK(facts("highway=path sac_scale=alpine_hiking;hiking").sac_scale == "alpine_hiking");
    CHECK(facts("highway=path sac_scale=T1").sac_scale == "hiking");
    CHECK(facts("highway=path sac_scale=t4").sac_scale == "alpine_hiking");
    CHECK(facts("highway=path sac_scale=hiking,alpine_hiking").sac_scale == "alpine_hiking");
    CHECK(facts("highway=path sac_scale=T3/T4").sac_scale == "alpine_hiking");
    // what cannot be read is told, and what can be counts all the same
    CHECK(facts("highway=path sac_scale=T7").grade_unread == "sac_scale=T7");
    CHECK(facts("highway=path sac_scale=mountaineering").grade_unread == "sac_scale=mountaineering");
    CHECK(facts("highway=path sac_scale=alpine_hiking;steep").sac_scale == "alpine_hiking");
    CHECK(facts("highway=path sac_scale=alpine_hiking;steep").grade_unread != "");
    CHECK(facts("highway=path trail_visibility=poor").grade_unread == "trail_visibility=poor");
    CHECK(facts("highway=path cai_scale=EE").grade_unread == "cai_scale=EE");
    CHECK(facts("highway=path cai_scale=EEA").via_ferrata);
    CHECK(facts("highway=path sac_scale=hiking cai_scale=E").grade_unread == "");
    CHECK(facts("highway=path sac_scale=T6").sac_scale == "difficult_alpine_hiking");
    for (const char* grade : {"T0", "T7", "T", "T10", "yes"}) {
        CHECK(facts(std::string("highway=path sac_scale=") + grade).sac_scale.empty());
        CHECK(facts(std::string("highway=path sac_scale=") + grade).grade_unread != "");
    }
    CHECK(facts("highway=path trail_visibility=good;bad").trail_visibility == "bad");
    CHECK(facts("highway=construction construction=primary").lifecycle == "construction");
}

// Source: OSM wiki, Key:access, Key:crossing; from memory.
TEST_CASE("a place on the way without a barrier may be shut all the same") {
    for (const char* shut : {"railway=level_crossing access=no", "railway=crossing crossing=no", "access=no",
                             "highway=crossing crossing=prohibited"}) {
        CAPTURE(shut);
        CHECK(map::may_bar_walkers(tags_of(shut)));
        CHECK(map::read_barrier(tags_of(shut)).right.right == Right::forbidden);
    }
    CHECK(map::read_barrier(tags_of("railway=crossing access=private")).right.right == Right::restricted);
    // words for vehicles, for what stands there, or of a road with no crossing place
    for (const char* open : {"access=no motor_vehicle=yes", "access=private amenity=parking_entrance",
                             "highway=traffic_signals crossing=no", "railway=crossing", "highway=crossing"}) {
        CAPTURE(open);
        CHECK(!map::may_bar_walkers(tags_of(open)));
    }
    CHECK(map::may_bar_walkers(tags_of("entrance=main opening_hours=08:00-16:00")));
    CHECK(!map::may_bar_walkers(tags_of("shop=bakery opening_hours=08:00-16:00")));
}

// Source: OSM wiki, Key:barrier.
TEST_CASE("barriers") {
    const auto gate = map::read_barrier(tags_of("barrier=gate locked=yes"));
    CHECK(gate.kind == "gate");
    CHECK(gate.locked == true);
    CHECK(gate.passable_by_kind);
    CHECK(gate.right.right == Right::unknown);
    CHECK_FALSE(map::read_barrier(tags_of("barrier=gate")).locked);
    CHECK(map::read_barrier(tags_of("barrier=gate locked=no")).locked == false);
    CHECK(map::read_barrier(tags_of("barrier=gate access=private")).right.right == Right::restricted);
    CHECK(map::read_barrier(tags_of("barrier=gate access=private foot=yes")).right.right == Right::recorded);
    CHECK(map::read_barrier(tags_of("barrier=gate foot=no")).right.right == Right::forbidden);
    for (const char* kind :
         {"wall", "fence", "hedge", "ditch", "retaining_wall", "city_wall", "guard_rail", "yes", "moat"})
        CHECK_FALSE(map::read_barrier(tags_of(std::string("barrier=") + kind)).passable_by_kind);
    for (const char* kind : {"stile", "kissing_gate", "swing_gate", "bollard", "cattle_grid", "lift_gate"})
        CHECK(map::read_barrier(tags_of(std::string("barrier=") + kind)).passable_by_kind);
}

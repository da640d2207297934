// The whole chain over a small made map and a made route: whatever they are, the stretches cover the route
// and the result follows its schema. Rules, parties and regions are read once; some runs go through assess(),
// which must give the same bytes, and some through every other writer.
#include "assess.hpp"
#include "fuzz/fuzz.hpp"
#include "fuzz/schema.hpp"
#include "map/read.hpp"
#include "match/match.hpp"
#include "region/chooser.hpp"
#include "report/write.hpp"
#include "route/read.hpp"
#include "rules/setting.hpp"

#include <nlohmann/json.hpp>

#include <array>
#include <cmath>
#include <sstream>

namespace waywarden::fuzz {

namespace {

/// Takes small numbers off the front; 0 at the end.
class Draw {
  public:
    explicit Draw(std::string_view bytes) : m_bytes(bytes) {}
    unsigned below(unsigned limit) {
        if (m_bytes.empty()) return 0;
        const auto byte = static_cast<unsigned char>(m_bytes.front());
        m_bytes.remove_prefix(1);
        return byte % limit;
    }
    bool more() const { return !m_bytes.empty(); }

  private:
    std::string_view m_bytes;
};

constexpr std::array k_tags{"highway=path",
                            "highway=footway,foot=no",
                            "highway=track,access=private",
                            "highway=tertiary,maxspeed=60%20%mph",
                            "highway=trunk",
                            "highway=motorway",
                            "highway=residential,sidewalk=both",
                            "railway=rail",
                            "waterway=river",
                            "waterway=stream,tunnel=culvert,layer=-1",
                            "barrier=fence",
                            "natural=water",
                            "landuse=military",
                            "natural=wetland,wetland=tidalflat",
                            "highway=path,bridge=yes,layer=1",
                            "highway=steps",
                            "route=ferry",
                            "natural=cliff",
                            "highway=construction,construction=primary",
                            "highway=path,foot:conditional=no%20%@%20%(Mo-Fr)",
                            "natural=coastline",
                            "highway=bridleway,designation=public_bridleway,ford=yes",
                            "boundary=hazard,hazard=shooting",
                            "highway=service,oneway=yes,lit=no"};
constexpr std::array k_node_tags{"",
                                 "barrier=gate",
                                 "barrier=stile",
                                 "highway=crossing,crossing=zebra",
                                 "ford=yes",
                                 "railway=level_crossing",
                                 "barrier=gate,locked=yes,access=private",
                                 "amenity=toilets"};

constexpr unsigned k_side = 12;

/// A place on a lattice of 12 by 12, 60 m apart.
geo::Position place(unsigned x, unsigned y) {
    return {3.0 + 0.001 * x, 56.0 + 0.00054 * y};
}

std::string map_from(Draw& draw) {
    std::ostringstream out;
    out.precision(9);
    const unsigned nodes = 2 + draw.below(40);
    for (unsigned i = 1; i <= nodes; ++i) {
        const geo::Position p = place(draw.below(k_side), draw.below(k_side));
        out << "n" << i << " v1 dV c1 t2026-06-01T00:00:00Z i1 u T"
            << k_node_tags[draw.below(k_node_tags.size())] << " x" << p.lon_deg << " y" << p.lat_deg << "\n";
    }
    const unsigned ways = 1 + draw.below(24);
    for (unsigned i = 1; i <= ways; ++i) {
        out << "w" << i << " v1 dV c1 t2026-06-01T00:00:00Z i1 u T" << k_tags[draw.below(k_tags.size())]
            << " N";
        const unsigned length = 1 + draw.below(9), first = 1 + draw.below(nodes);
        out << "n" << first;
        for (unsigned k = 1; k < length; ++k)
            out << ",n" << 1 + draw.below(nodes + 1); // one more than there are: sometimes a node is missing
        if (draw.below(3) == 0) out << ",n" << first;
        out << "\n";
    }
    return out.str();
}

std::string route_from(Draw& draw) {
    std::ostringstream out;
    out.precision(9);
    out << "<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>";
    // From point to point up to two steps of the lattice either way: a long line takes long and shows no
    // more.
    const unsigned points = 1 + draw.below(14);
    unsigned x = draw.below(k_side), y = draw.below(k_side);
    for (unsigned i = 0; i < points; ++i) {
        const geo::Position p = place(x, y);
        out << "<trkpt lat=\"" << p.lat_deg + 0.00001 * draw.below(9) << "\" lon=\"" << p.lon_deg << "\"/>";
        const unsigned step = draw.below(256);
        if (step == 255) out << "</trkseg><trkseg>";
        x = (x + k_side + step % 5 - 2) % k_side, y = (y + k_side + step / 5 % 5 - 2) % k_side;
    }
    out << "</trkseg></trk></gpx>";
    return out.str();
}

void check(const Assessed& route) {
    const auto& stretches = route.survey.stretches;
    const double length_m = route.survey.length_m;
    double sum_m = 0, at_m = 0;
    for (const survey::StretchSurvey& one : stretches) {
        must(std::abs(one.from_m - at_m) < 0.01, "stretches with a gap or an overlap");
        must(one.to_m >= one.from_m, "a stretch that runs back");
        must(one.reading.probability >= 0 && one.reading.probability <= 1.0001, "no probability");
        sum_m += one.to_m - one.from_m;
        at_m = one.to_m;
    }
    if (length_m > 0) must(std::abs(sum_m - length_m) < 0.1, "stretches that do not add up");
    for (const survey::Crossing& one : route.survey.crossings)
        must(one.at_m >= -0.01 && one.at_m <= length_m + 0.01, "a crossing off the route");
    for (const rules::Finding& one : route.findings)
        must(one.from_m <= one.to_m && one.to_m <= length_m + 0.01 && !one.message.empty(),
             "a finding off the route", one.rule);
}

/// A party with its rules, read once.
struct Judging {
    rules::Party party;
    rules::Judge judge;
    explicit Judging(const char* name)
        : party(rules::load_party(name)), judge(name, {}, region::load("general")) {}
    std::optional<double> number(const char* name) const {
        const auto at = party.values.find(name);
        const double* value = at == party.values.end() ? nullptr : std::get_if<double>(&at->second);
        return value ? std::optional(*value) : std::nullopt;
    }
    std::optional<int> whole(const char* name) const {
        const auto value = number(name);
        return value ? std::optional(static_cast<int>(*value)) : std::nullopt;
    }
};

struct Asked {
    std::string map, route; ///< the files' bytes
    unsigned party = 0, region = 0;
    std::optional<geo::WrittenTime> start;
};
constexpr std::array k_parties{"youth-expedition", "charity-walk", "club-walk"};
constexpr std::array k_regions{"england", "scotland", "general", "auto"};
constexpr std::int64_t k_date_s = 1795564800; // 2026-11-25

survey::Given given_for(const Asked& asked, const Judging& by, const region::Region& region,
                        const route::Route& route) {
    const auto crossing = by.whole("group_size");
    survey::Given out{crossing ? crossing : by.whole("number"), 400, {}, by.whole("number")};
    if (asked.start) {
        out.timetable = {*asked.start, std::nullopt, region.name == "general" ? "" : region.time_zone};
        if (const auto pace = by.number("pace_kmh"))
            out.timetable->pace = survey::Pace{*pace, by.number("rest_min_per_h").value_or(0)};
    }
    out.heights = survey::heights_of_file(route);
    out.effort = rules::effort_of(by.party);
    return out;
}

/// What assess() does for one route, in memory. The paths are those that assess() gets.
Assessment assessed(const Asked& asked, const std::string& map_path, const std::string& route_path) {
    static const std::array<Judging, 3> parties{Judging(k_parties[0]), Judging(k_parties[1]),
                                                Judging(k_parties[2])};
    static const std::array<region::Chooser, 4> regions{
        region::Chooser(k_regions[0]), region::Chooser(k_regions[1]), region::Chooser(k_regions[2]),
        region::Chooser(k_regions[3])};
    const Judging& by = parties[asked.party];
    Assessed one;
    one.route = route::read_text(asked.route, route_path);
    map::Corridor corridor;
    for (const route::Segment& segment : one.route.segments) {
        auto& line = corridor.lines.emplace_back();
        for (const route::RoutePoint& point : segment.points)
            line.push_back(point.position);
    }
    const auto line = [&] {
        std::vector<geo::Position> all;
        for (const auto& part : corridor.lines)
            all.insert(all.end(), part.begin(), part.end());
        return all;
    }();
    map::Ground ground = map::read_text(asked.map, "opl", corridor);
    ground.sources.front().path = map_path;
    const region::Choice choice = regions[asked.region].choose(line);
    one.survey = survey::survey(one.route, ground, match::match(one.route, ground), choice.region, k_date_s,
                                given_for(asked, by, choice.region, one.route));
    one.findings = by.judge.in(choice.region).judge(one.survey);
    one.verdict = rules::verdict_of(one.findings);
    one.grid = choice.region.grid;
    one.region = choice.region.name;
    one.region_note = choice.note;
    one.speed_in_mph = choice.region.speed_in_mph;
    Assessment out;
    out.sources = ground.sources;
    out.region = one.region;
    out.party = by.judge.party();
    out.walkers = by.whole("number");
    out.group_size = by.whole("group_size") ? by.whole("group_size") : by.whole("number");
    const auto step_free = by.party.values.find("step_free");
    if (step_free != by.party.values.end()) out.step_free = std::get<bool>(step_free->second);
    out.rule_sets = by.judge.sets();
    out.date_s = k_date_s;
    out.routes.push_back(std::move(one));
    return out;
}

std::string json_of(const Assessment& assessment) {
    std::ostringstream out;
    report::write_json(assessment, out);
    return out.str();
}

/// The program itself, from files, with two threads.
void must_be_as_assess_gives(const Asked& asked, const std::string& json) {
    Request request;
    request.party = k_parties[asked.party];
    request.region = k_regions[asked.region];
    request.maps = {file_with(asked.map, ".opl")};
    request.routes = {file_with(asked.route, ".gpx")};
    request.date_s = k_date_s;
    request.start = asked.start;
    const std::string again = json_of(assess(request));
    must(again == json, "a second run gives another result:", again);
}

void write_all(const Assessment& assessment) {
    const auto written = [&](const auto& writer) {
        std::ostringstream out;
        writer(assessment, out);
        must(!out.str().empty(), "a writer that writes nothing");
        return out.str();
    };
    for (const auto writer : {report::write_sarif, report::write_geojson})
        must(nlohmann::json::accept(written(writer)), "no JSON");
    for (const auto writer :
         {report::write_gpx, report::write_csv, report::write_legs_csv, report::write_card_csv,
          report::write_html, report::write_summary_csv, report::write_team_text, report::write_team_html,
          report::write_marshals_text, report::write_marshals_html, report::write_marshals_csv,
          report::write_marshals_gpx})
        written(writer);
    std::ostringstream text;
    report::write_text(assessment, text);
    must(text.str().size() > 100, "a report that says nothing");
}

} // namespace

void target(std::string_view bytes) {
    static const Schema schema(WAYWARDEN_FIXTURES "/../docs/result.schema.json");
    Draw draw(bytes);
    Asked asked;
    asked.party = draw.below(3);
    asked.region = draw.below(4);
    asked.map = map_from(draw);
    asked.route = route_from(draw);
    if (draw.below(2) == 1) asked.start = geo::read_time("2027-05-15T09:30");
    const Assessment assessment =
        assessed(asked, file_path(".opl"), file_path(".gpx")); // not written unless needed
    check(assessment.routes.front());
    const std::string json = json_of(assessment);
    schema.must_hold(nlohmann::json::parse(json));
    const std::size_t lot = std::hash<std::string_view>()(bytes); // by the bytes: a find can be run again
    if (lot % 16 == 0) write_all(assessment);
    if (lot % 512 == 0) must_be_as_assess_gives(asked, json);
}

} // namespace waywarden::fuzz

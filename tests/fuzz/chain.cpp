// The whole chain over a small made map and a made route: whatever they are, the stretches cover the route
// and the result is whole.
#include "assess.hpp"
#include "fuzz/fuzz.hpp"
#include "report/write.hpp"

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

/// A place on a lattice of 16 by 16, 60 m apart.
geo::Position place(unsigned x, unsigned y) {
    return {3.0 + 0.001 * x, 56.0 + 0.00054 * y};
}

std::string map_from(Draw& draw) {
    std::ostringstream out;
    out.precision(9);
    const unsigned nodes = 2 + draw.below(40);
    for (unsigned i = 1; i <= nodes; ++i) {
        const geo::Position p = place(draw.below(16), draw.below(16));
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
    const unsigned points = 1 + draw.below(30);
    for (unsigned i = 0; i < points; ++i) {
        const geo::Position p = place(draw.below(16), draw.below(16));
        out << "<trkpt lat=\"" << p.lat_deg + 0.00001 * draw.below(9) << "\" lon=\"" << p.lon_deg << "\"/>";
        if (draw.below(16) == 15) out << "</trkseg><trkseg>";
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

} // namespace

void target(std::string_view bytes) {
    static const std::array parties{"youth-expedition", "charity-walk", "club-walk"};
    static const std::array regions{"england", "scotland", "general", "auto"};
    Draw draw(bytes);
    Request request;
    request.party = parties[draw.below(3)];
    request.region = regions[draw.below(4)];
    request.maps = {file_with(map_from(draw), ".opl")};
    request.routes = {file_with(route_from(draw), ".gpx")};
    request.date_s = 1795564800; // 2026-11-25
    if (draw.below(2) == 1) request.start = geo::read_time("2027-05-15T09:30");
    request.threads = 1;
    const Assessment assessment = assess(request);
    for (const Assessed& route : assessment.routes)
        check(route);
    std::ostringstream json;
    report::write_json(assessment, json);
    must(nlohmann::json::accept(json.str()), "a result that is no JSON");
    std::ostringstream text;
    report::write_text(assessment, text);
    must(text.str().size() > 100, "a report that says nothing");
}

} // namespace waywarden::fuzz

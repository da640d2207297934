#include "report/fingerprint.hpp"

#include "report/sha256.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace waywarden::report {

namespace {

std::set<map::ObjectId> objects(const rules::Finding& finding) {
    std::set<map::ObjectId> out;
    for (const survey::Evidence& one : finding.evidence)
        out.insert(one.osm);
    return out;
}

} // namespace

std::string fingerprint(const rules::Finding& finding) {
    std::string text = fmt::format("{}|{}|{}", finding.rule, std::lround(finding.position.lon_deg * 1000),
                                   std::lround(finding.position.lat_deg * 1000));
    for (const map::ObjectId id : objects(finding))
        text += "|" + map::to_string(id);
    return sha256(text).substr(0, 16);
}

bool same_place(const rules::Finding& a, const rules::Finding& b) {
    if (a.rule != b.rule || geo::distance_m(a.position, b.position) > k_same_place_m) return false;
    const auto of_a = objects(a), of_b = objects(b);
    if (of_a.empty() || of_b.empty()) return of_a.empty() && of_b.empty();
    return std::any_of(of_a.begin(), of_a.end(), [&](map::ObjectId id) { return of_b.contains(id); });
}

} // namespace waywarden::report

#include "report/csv_cells.hpp"
#include "report/marshals_words.hpp"
#include "report/write.hpp"

#include <ostream>

/// The organiser's sheet as a table. A cell is never empty: `unknown` where nobody knows, `-` where the
/// question does not arise.
namespace waywarden::report {

namespace {

constexpr const char* k_unknown = "unknown";
constexpr const char* k_none = "-";

std::string words_or(const std::string& words, const char* otherwise) {
    return words.empty() ? otherwise : text_cell(words);
}

/// A question that arises and has no answer is unknown.
std::string figure(const std::optional<double>& value, bool arises, int digits = 0) {
    if (!arises) return k_none;
    return value ? number_cell(*value, digits) : k_unknown;
}

std::vector<std::string> where(const Assessed& route, double at_m, double to_m, geo::Position position) {
    return {number_cell(at_m, 0), number_cell(to_m, 0), text_cell(geo::grid_reference(position, route.grid)),
            number_cell(position.lat_deg, 7), number_cell(position.lon_deg, 7)};
}

void post_line(const Assessed& route, const Post& post, std::ostream& out) {
    const bool sighted = !post.sight.empty(), crossed_road = sighted && post.kind == "road";
    const bool queues = !post.time.empty() && !crossed_road;
    std::vector<std::string> cells{text_cell(route.route.name), "M" + std::to_string(post.number), post.kind};
    for (std::string& cell : where(route, post.at_m, post.to_m, post.position))
        cells.push_back(std::move(cell));
    for (std::string& cell : std::vector<std::string>{
             words_or(post.what, k_unknown), words_or(post.limit, k_none), words_or(post.facility, k_none),
             figure(post.sight_low_m, sighted), figure(post.sight_high_m, sighted),
             figure(post.sight_need_m, sighted), figure(post.group_s, crossed_road),
             figure(post.all_min, crossed_road, 1), figure(post.queue_min, queues, 1), to_string(post.call),
             words_or(post.why, k_unknown), words_or(post.stand, k_none), words_or(post.osm, k_none)})
        cells.push_back(std::move(cell));
    csv_line(out, cells);
}

void feature_line(const Assessed& route, const Feature& feature, std::ostream& out) {
    std::vector<std::string> cells{text_cell(route.route.name), k_none, feature.kind};
    for (std::string& cell : where(route, feature.at_m, feature.to_m, feature.position))
        cells.push_back(std::move(cell));
    cells.push_back(words_or(feature.what, k_unknown));
    cells.insert(cells.end(), 11, k_none);
    cells.push_back(words_or(feature.osm, k_none));
    csv_line(out, cells);
}

} // namespace

void write_marshals_csv(const Assessment& assessment, std::ostream& out) {
    csv_line(out,
             {"route",   "number",  "kind",      "from_m",   "to_m",        "grid_ref",     "lat",
              "lon",     "what",    "limit",     "facility", "sight_low_m", "sight_high_m", "sight_need_m",
              "group_s", "all_min", "queue_min", "marshals", "why",         "stand",        "osm"});
    for (const Assessed& route : assessment.routes) {
        const MarshalSheet sheet = marshal_sheet(route, assessment);
        for (const Post& post : sheet.posts)
            post_line(route, post, out);
        for (const auto* list : {&sheet.wheels, &sheet.vehicles, &sheet.places})
            for (const Feature& feature : *list)
                feature_line(route, feature, out);
    }
}

} // namespace waywarden::report

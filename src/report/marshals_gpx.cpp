#include "report/gpx_parts.hpp"
#include "report/marshals_words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <ostream>

namespace waywarden::report {

namespace {

std::string sentence(const std::string& words) {
    return words.empty() ? "" : words + (words.ends_with('.') ? " " : ". ");
}

/// "M4 needed A9979".
std::string post_name(const Post& post) {
    const std::string what = post.what.substr(0, post.what.find(" ("));
    return gpx_name(fmt::format("M{} {} {}", post.number, spaced(to_string(post.call)), what));
}

std::string post_words(const Post& post, const Assessed& route) {
    std::string out = fmt::format("Marshals: {} ({}). {}. ", call_words(post.call), post.why,
                                  geo::grid_reference(post.position, route.grid));
    out += sentence(post.what);
    if (!post.limit.empty()) out += fmt::format("Limit {}. ", post.limit);
    for (const std::string* words : {&post.facility, &post.sight, &post.time, &post.stand})
        out += sentence(*words);
    return out + "Marshals have no power to stop traffic unless the law of the place gives it.";
}

} // namespace

void write_marshals_gpx(const Assessment& assessment, std::ostream& out) {
    pugi::xml_document document;
    pugi::xml_node gpx =
        begin_gpx(document, assessment,
                  "Where marshals are needed, and where help, toilets and water are. What nobody "
                  "mapped is not here: the highway authority, the police and a competent leader decide.");
    for (const Assessed& route : assessment.routes) {
        const MarshalSheet sheet = marshal_sheet(route, assessment);
        for (const Post& post : sheet.posts)
            gpx_waypoint(gpx, post.position,
                         {post_name(post), post_words(post, route), call_words(post.call)});
        for (const auto* list : {&sheet.vehicles, &sheet.places})
            for (const Feature& feature : *list)
                gpx_waypoint(
                    gpx, feature.position,
                    {gpx_name(feature.what),
                     fmt::format("{}. {}.", feature.what, geo::grid_reference(feature.position, route.grid)),
                     spaced(feature.kind)});
    }
    for (const Assessed& route : assessment.routes)
        gpx_track(route, gpx);
    end_gpx(document, out);
}

} // namespace waywarden::report

#include "report/html_map.hpp"

#include "report/geo_shapes.hpp"
#include "report/html_text.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::report {

namespace {

using survey::PictureClass;

/// Roads are drawn twice from one path: a dark edge, then the road on it.
bool has_edge(PictureClass of) {
    return of == PictureClass::rail || of >= PictureClass::lane;
}

/// Thin lines, then every fifth thicker.
std::string contour_paths(const PageRoute& page) {
    std::string thin, thick;
    for (const survey::PictureContour& one : page.route.map_picture.contours)
        (one.index ? thick : thin) += path_data(page.plane, one.line);
    return fmt::format("<path class=\"k-contour\" d=\"{}\"/><path class=\"k-contour fifth\" d=\"{}\"/>\n",
                       thin, thick);
}

std::string land_paths(const PageRoute& page) {
    const auto& lines = page.route.map_picture.lines;
    std::string defs, edges, uses;
    for (const survey::PictureLine& ring : page.route.map_picture.outline)
        edges += path_data(page.plane, ring, true);
    edges = fmt::format(R"~(<path class="known" d="{}"/>)~", edges) + "\n";
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const auto of = static_cast<PictureClass>(i);
        if (of == PictureClass::barrier && page.route.map_picture.contour_step_m > 0)
            edges += contour_paths(page); // over areas, under lines
        std::string data;
        for (const survey::PictureLine& line : lines[i])
            data += path_data(page.plane, line, is_area(of));
        if (data.empty()) continue;
        const std::string id = page_id(page.number, "k", i);
        if (has_edge(of)) {
            defs += fmt::format(R"~(<path id="{}" d="{}"/>)~", id, data);
            edges += fmt::format(R"~(<use href="#{}" class="edge k-{}"/>)~", id, to_string(of));
            uses += fmt::format(R"~(<use href="#{}" class="k-{}"/>)~", id, to_string(of));
        } else {
            edges += fmt::format(R"~(<path class="k-{}" d="{}"/>)~", to_string(of), data);
        }
        edges += '\n';
    }
    return fmt::format("<defs>{}</defs>\n{}{}", defs, edges, uses);
}

const char* name_class(survey::PictureName::Of of) {
    using Of = survey::PictureName::Of;
    switch (of) {
    case Of::place:
        return "place";
    case Of::farm:
        return "farm";
    case Of::summit:
        return "summit";
    case Of::water:
        return "water";
    case Of::wood:
        return "wood";
    case Of::road:
        return "road";
    case Of::contour:
        return "contour";
    }
    return "place";
}

std::string names(const PageRoute& page) {
    std::string out;
    for (const PlacedName& placed : place_names(page.plane, page.route.map_picture.names, page.signs))
        out += fmt::format(
            R"~(<g class="l{}" transform="translate({} {})rotate({:.0f})"><text class="n n-{}">{}{}</text></g>)~"
            "\n",
            placed.level, placed.at.x, placed.at.y, placed.turn_deg, name_class(placed.name->of),
            placed.name->of == survey::PictureName::Of::summit ? "▴ " : "", html(placed.name->text));
    return out;
}

/// What a finding along the line covers; those over most of the route are told of at its start alone.
std::string bands(const PageRoute& page) {
    std::string out;
    for (const rules::Level level : {rules::Level::note, rules::Level::warning, rules::Level::error}) {
        std::string data;
        for (const rules::Finding& finding : page.route.findings) {
            const double length_m = finding.to_m - finding.from_m;
            if (finding.level != level || finding.accepted || finding.count > 1 || length_m <= 0 ||
                length_m > page.route.survey.length_m / 2)
                continue;
            for (const Line& line : line_between(page.route.survey.stretches, finding.from_m, finding.to_m))
                data += path_data(page.plane, line);
        }
        if (!data.empty())
            out += fmt::format(R"~(<path class="band b-{}" d="{}"/>)~", to_string(level), data);
    }
    return out;
}

std::string walked(const PageRoute& page) {
    std::string all, by_access;
    for (const auto& [access, length_m] : metres_by_access(page.route)) {
        std::string data;
        for (const survey::StretchSurvey& stretch : page.route.survey.stretches) {
            if (stretch.reading.access != access) continue;
            std::vector<geo::Position> line;
            for (const match::TracePoint& point : stretch.line)
                line.push_back(point.position);
            data += path_data(page.plane, line);
        }
        all += data;
        by_access += fmt::format(R"~(<path class="a a-{}" d="{}"/>)~", map::to_string(access), data);
    }
    return fmt::format(R"~(<path class="halo" d="{}"/>{})~", all, by_access);
}

std::string drawn(const PageRoute& page) {
    std::string data;
    for (const route::Segment& segment : page.route.route.segments) {
        std::vector<geo::Position> line;
        for (const route::RoutePoint& point : segment.points)
            line.push_back(point.position);
        data += path_data(page.plane, line);
    }
    return fmt::format(R"~(<path class="drawn" d="{}"/>)~", data);
}

std::string mark(PlanePoint at, int level, const char* shape_class, const std::string& inside) {
    return fmt::format(R"~(<g class="l{}" transform="translate({} {})"><g class="mark {}">{}</g></g>)~",
                       level, at.x, at.y, shape_class, inside);
}

std::string end_mark(PlanePoint at, const char* letters) {
    return mark(at, 0, "end", fmt::format(R"~(<circle r="7.5"/><text>{}</text>)~", letters));
}

/// Every kilometre along the route.
std::string marks(const PageRoute& page) {
    const auto& stretches = page.route.survey.stretches;
    const double length_m = page.route.survey.length_m;
    if (stretches.empty()) return "";
    std::string out;
    const int step_km = static_cast<int>(length_m / 200'000) + 1;
    for (int km = step_km; km * 1000.0 < length_m - 100; km += step_km)
        out += mark(page.plane.at(walked_at(stretches, km * 1000)), km % 5 ? 2 : 1, "km",
                    fmt::format(R"~(<circle r="3"/><text class="n" y="-10">{} km</text>)~", km));
    return out;
}

std::string ends(const PageRoute& page) {
    const auto& stretches = page.route.survey.stretches;
    if (stretches.empty()) return "";
    std::string out;
    const PlanePoint start = page.plane.at(walked_at(stretches, 0));
    const PlanePoint end = page.plane.at(walked_at(stretches, page.route.survey.length_m));
    const bool round = std::hypot(start.x - end.x, start.y - end.y) < 50;
    if (!round) out += end_mark(end, "E");
    return out + end_mark(start, round ? "S/E" : "S");
}

std::string signs(const PageRoute& page) {
    std::string out;
    for (auto at = page.signs.rbegin(); at != page.signs.rend(); ++at) { // the gravest on top
        const PlacedSign& sign = *at;
        const std::string label = fmt::format("{} {}: {}", page.words.of(sign.finding->level), sign.number,
                                              html(sign.finding->title));
        std::string leader;
        if (sign.aside_x_px || sign.aside_y_px)
            leader = fmt::format(R"~(<path class="leader" d="M0 0L{} {}"/><circle class="foot" r="2"/>)~",
                                 sign.aside_x_px, sign.aside_y_px);
        out += fmt::format(
            R"~(<a id="{}" href="#{}" aria-label="{}"><title>{}</title><g transform="translate({} {})">)~"
            R"~(<g class="sign">{}<g transform="translate({} {})">{}</g></g></g></a>)~"
            "\n",
            page_id(page.number, "m", sign.number), page_id(page.number, "f", sign.number), label, label,
            sign.at.x, sign.at.y, leader, sign.aside_x_px, sign.aside_y_px,
            sign_svg(*sign.finding, sign.number));
    }
    return out;
}

constexpr const char* k_patterns =
    R"~(<pattern id="r{0}-p-wood" width="60" height="60" patternUnits="userSpaceOnUse"><rect class="k-wood0" width="60" height="60"/><circle class="tree" cx="15" cy="15" r="7"/><circle class="tree" cx="45" cy="45" r="7"/></pattern>
<pattern id="r{0}-p-wetland" width="60" height="40" patternUnits="userSpaceOnUse"><rect class="k-wetland0" width="60" height="40"/><path class="reed" d="M5 10h30M35 30h20"/></pattern>
<pattern id="r{0}-p-danger" width="50" height="50" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="k-danger0" width="50" height="50"/><path class="bars" d="M5 0v50"/></pattern>
)~";

struct LegendRow {
    const char* svg_class;
    const char* words;
    bool area;
};
constexpr LegendRow k_ground[] = {
    {"sea", "sea", true},
    {"settled", "houses, farmyards, works", true},
    {"building", "building", true},
    {"wood", "wood", true},
    {"heath", "heath, scrub, moor", true},
    {"grass", "grass, park", true},
    {"sand", "beach, sand, shingle", true},
    {"rock", "rock, scree, quarry", true},
    {"wetland", "bog, marsh, mud", true},
    {"water", "lake, wide river, dock", true},
    {"danger", "military, danger area", true},
    {"paved", "paved place", true},
    {"motorway", "motorway", false},
    {"major_road", "main road", false},
    {"minor_road", "minor road", false},
    {"lane", "service road", false},
    {"track", "track", false},
    {"path", "path", false},
    {"works", "under construction or disused", false},
    {"rail", "railway", false},
    {"river", "river, canal", false},
    {"stream", "stream, ditch", false},
    {"coast", "coastline", false},
    {"cliff", "cliff, bank", false},
    {"barrier", "wall, fence, hedge", false},
    {"ferry", "ferry", false},
};

std::string swatch(const std::string& inside, const std::string& words) {
    return fmt::format("<li><svg class=\"swatch\" viewBox=\"0 0 40 20\" aria-hidden=\"true\">{}</svg> "
                       "<span>{}</span></li>\n",
                       inside, words);
}

std::string ground_legend(const PageRoute& page) {
    std::string out;
    const auto& lines = page.route.map_picture.lines;
    for (const LegendRow& row : k_ground) {
        bool shown = false;
        for (std::size_t i = 0; i < lines.size(); ++i)
            shown |= to_string(static_cast<PictureClass>(i)) == std::string_view(row.svg_class) &&
                     !lines[i].empty();
        if (!shown) continue;
        const std::string shape =
            row.area ? fmt::format(R"~(<path class="k-{}" d="M2 2h36v16h-36z"/>)~", row.svg_class)
                     : fmt::format(
                           R"~(<path class="edge k-{0}" d="M1 10h38"/><path class="k-{0}" d="M1 10h38"/>)~",
                           row.svg_class);
        out += swatch(shape, row.words);
    }
    return out;
}

std::string contour_legend(const PageRoute& page) {
    const double step_m = page.route.map_picture.contour_step_m;
    if (step_m <= 0) return "";
    return swatch(R"~(<path class="k-contour" d="M1 6h38"/><path class="k-contour fifth" d="M1 14h38"/>)~",
                  fmt::format("height, every {:.0f} m; thick: every {:.0f} m", step_m, 5 * step_m));
}

std::string legend(const PageRoute& page) {
    std::string out = "<ul class=\"legend\">\n";
    for (const auto& [access, length_m] : metres_by_access(page.route))
        out += swatch(fmt::format(R"~(<path class="halo" d="M1 10h38"/><path class="a a-{}" d="M1 10h38"/>)~",
                                  map::to_string(access)),
                      fmt::format("walked: {}, {}", access_words(access), distance_words(length_m)));
    out += swatch(R"~(<path class="drawn" d="M1 10h38"/>)~", "the line as the file draws it");
    out += swatch(R"~(<path class="band b-error" d="M6 10h28"/><path class="halo" d="M1 10h38"/>)~",
                  fmt::format("pieces marked {}", page.words.error));
    out += swatch(R"~(<path class="band b-warning" d="M6 10h28"/><path class="halo" d="M1 10h38"/>)~",
                  fmt::format("pieces marked {}", page.words.warning));
    out += swatch(
        R"~(<g transform="translate(20 10)"><g class="mark end"><circle r="7.5"/><text>S</text></g></g>)~",
        "S start, E end of the walk");
    for (const rules::Level level : {rules::Level::error, rules::Level::warning, rules::Level::note}) {
        rules::Finding example;
        example.level = level;
        out += swatch(fmt::format(R"~(<g transform="translate(20 10)">{}</g>)~", sign_svg(example, 1)),
                      page.words.of(level));
    }
    return out + ground_legend(page) + contour_legend(page) + "</ul>\n";
}

} // namespace

namespace {

constexpr std::pair<double, double> k_page_px{860, 670}; ///< of the map on a page of the usual width

double m_per_px(const PlaneFrame& frame, double wide_px, double high_px) {
    return std::max(frame.wide / wide_px, frame.high / high_px);
}

} // namespace

const char* sign_class(const rules::Finding& finding) {
    return finding.accepted ? "accepted" : to_string(finding.level);
}

std::string sign_svg(const rules::Finding& finding, std::size_t number) {
    const char* shape = finding.accepted                         ? R"~(<circle r="9"/>)~"
                        : finding.level == rules::Level::error   ? R"~(<path d="M0-12L12 0 0 12-12 0z"/>)~"
                        : finding.level == rules::Level::warning ? R"~(<path d="M-9-9H9V9H-9z"/>)~"
                                                                 : R"~(<circle r="9"/>)~";
    return fmt::format(R"~(<g class="s s-{}">{}<text>{}</text></g>)~", sign_class(finding), shape, number);
}

PageRoute page_route(const Assessed& route, std::size_t number, int heading) {
    PageRoute out{route, number, heading, MapPlane(route, std::max(route.map_picture.reach_m, 200.0)),
                  {},    {}};
    out.signs = place_signs(out.plane, route, m_per_px(out.plane.frame(), k_page_px.first, k_page_px.second));
    return out;
}

std::string begin_section(const PageRoute& page, const char* kind, const char* title) {
    const std::string id = fmt::format("r{}-h{}", page.number, kind);
    const std::string named = page.heading == 2 ? fmt::format(" aria-labelledby=\"{}\"", id) : "";
    return fmt::format("<section class=\"part-{}\"{}>\n", kind, named) + heading(page, 0, id, title);
}

std::string heading(const PageRoute& page, int below, const std::string& id, const std::string& text_html) {
    const int level = page.heading + below;
    return fmt::format("<h{0} id=\"{1}\">{2}</h{0}>\n", level, id, text_html);
}

std::string map_style(const PageRoute& page) {
    const PlaneFrame frame = page.plane.frame();
    const auto rule = [&](double u, const char* important) {
        std::string out = fmt::format("#r{}-map{{--u:{:.2f}{}", page.number, u, important);
        for (int level = 0; level < k_name_levels; ++level)
            out += fmt::format(";--l{}:{}", level,
                               level == 0 || u <= k_level_m_per_px[level] * 1.2 ? "inline" : "none");
        return out + "}\n";
    };
    std::string out = rule(m_per_px(frame, k_page_px.first, k_page_px.second), "");
    out += fmt::format("@media (max-width:44rem){{{}}}\n", rule(m_per_px(frame, 340, 420), ""));
    out += fmt::format("@media print{{{}}}\n", rule(m_per_px(frame, 680, 620), "!important"));
    for (const std::string kind : {"wood", "wetland", "danger"})
        out += fmt::format(".r{0} .k-{1}{{fill:url(#r{0}-p-{1})}}\n", page.number, kind);
    return out;
}

std::string map_section(const PageRoute& page) {
    const PlaneFrame frame = page.plane.frame();
    const std::size_t n = page.number;
    std::string out = begin_section(page, "m", "Map");
    out += fmt::format(
        "<div class=\"mapside\">\n<div class=\"mapbox\">\n"
        R"~(<svg id="r{0}-map" class="map" role="group" aria-labelledby="r{0}-mt r{0}-md" viewBox="{1} {2} {3} {4}">)~"
        "<title id=\"r{0}-mt\">Map of the route {5}</title><desc id=\"r{0}-md\">The ground within {6:.0f} m "
        "of "
        "the route, drawn from the map file, north up; on it the walk by kind of way, and {7}, "
        "which are links to them. All that it shows is told in words below.</desc>\n",
        n, frame.x, frame.y, frame.wide, frame.high, html(page.route.route.name),
        page.route.map_picture.reach_m, page.words.all);
    out += "<defs>" + fmt::format(fmt::runtime(k_patterns), n) + "</defs>\n";
    out += fmt::format("<g id=\"r{0}-land\" class=\"r{0}\">{1}</g>\n", n, land_paths(page));
    out += fmt::format("<g id=\"r{}-route\">{}{}{}</g>\n", n, bands(page), walked(page), drawn(page));
    out += fmt::format("<g id=\"r{}-names\">{}{}</g>\n", n, names(page), marks(page));
    out += fmt::format("<g id=\"r{}-signs\">{}{}</g>\n</svg>\n</div>\n", n, signs(page), ends(page));
    out += legend(page) + "</div>\n";
    if (page.route.map_picture.lines.empty())
        out += "<p>The ground was not drawn: this result holds none.</p>\n";
    if (page.route.map_picture.contour_step_m > 0)
        out +=
            fmt::format("<p class=\"small\">Contours: {}{}. Crags and steps that are smaller than its cells "
                        "do not show in them.</p>\n",
                        html(page.route.map_picture.heights_words),
                        page.route.map_picture.heights_known < 1
                            ? ", which do not cover all of the map: where there is no line the height may "
                              "be unknown"
                            : "");
    return out +
           "<p class=\"small\">What nobody has mapped is not drawn; beyond the edge nothing is drawn. " +
           html(page.attribution) + "</p>\n</section>\n";
}

} // namespace waywarden::report

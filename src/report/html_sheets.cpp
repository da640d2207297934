#include "geo/grid_reference.hpp"
#include "report/html_map.hpp"
#include "report/html_text.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace waywarden::report {

namespace {

constexpr int k_wide_mm = 180, k_high_mm = 228; ///< of the map on a sheet of A4
constexpr int k_edge_m = 150;                   ///< the walk keeps this far from the edge of a sheet
constexpr double k_step_m = 100;
constexpr double k_longest_m = 300'000;        ///< beyond it nobody prints a walk, and no sheets are made
constexpr std::size_t k_most_large_sheets = 4; ///< more sheets at 1:25 000 than these are drawn at 1:50 000

struct Sheet {
    PlaneFrame frame;
    double from_m = 0, to_m = 0;   ///< along the walk
    std::string also;              ///< what else of the walk is on it, in words
    std::set<std::string> squares; ///< letters of the grid squares that the walk is in
};

struct WalkPoint {
    PlanePoint at;
    double at_m = 0;
    geo::Position position;
};

/// The walk with no step longer than about 100 m.
std::vector<WalkPoint> walk_points(const PageRoute& page) {
    std::vector<WalkPoint> out;
    const auto add = [&](geo::Position p, double at_m) { out.push_back({page.plane.at(p), at_m, p}); };
    for (const survey::StretchSurvey& stretch : page.route.survey.stretches)
        for (std::size_t i = 0; i < stretch.line.size(); ++i) {
            const match::TracePoint& to = stretch.line[i];
            const match::TracePoint& from = stretch.line[i ? i - 1 : 0];
            const double steps = std::ceil((to.at_m - from.at_m) / k_step_m);
            for (double step = 1; step < steps; ++step) {
                const double share = step / steps;
                add({from.position.lon_deg + share * (to.position.lon_deg - from.position.lon_deg),
                     from.position.lat_deg + share * (to.position.lat_deg - from.position.lat_deg)},
                    from.at_m + share * (to.at_m - from.at_m));
            }
            add(to.position, to.at_m);
        }
    return out;
}

/// Takes out sheets of which all of the walk is on another: the last metres of a round, mostly.
void drop_covered(const PageRoute& page, std::vector<Sheet>& sheets) {
    const std::vector<WalkPoint> walk = walk_points(page);
    for (std::size_t i = sheets.size(); i-- > 1;) {
        const auto covers = [&](const Sheet& other) {
            if (&other == &sheets[i]) return false;
            const PlaneFrame f = other.frame;
            return std::all_of(walk.begin(), walk.end(), [&](const WalkPoint& point) {
                const PlanePoint at = point.at;
                return point.at_m < sheets[i].from_m || point.at_m > sheets[i].to_m ||
                       (at.x > f.x + k_edge_m && at.x < f.x + f.wide - k_edge_m && at.y > f.y + k_edge_m &&
                        at.y < f.y + f.high - k_edge_m);
            });
        };
        const auto other = std::find_if(sheets.begin(), sheets.end(), covers);
        if (other == sheets.end()) continue;
        other->also += fmt::format(", and {} to {}{}", km_words(sheets[i].from_m), km_words(sheets[i].to_m),
                                   sheets[i].also);
        other->squares.merge(sheets[i].squares);
        sheets.erase(sheets.begin() + static_cast<std::ptrdiff_t>(i));
    }
}

/// Along the walk as far as one sheet holds, then the next.
std::vector<Sheet> lay_out(const PageRoute& page, int m_per_mm) {
    const int wide = k_wide_mm * m_per_mm, high = k_high_mm * m_per_mm;
    std::vector<Sheet> out;
    int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    const auto centre = [&] { out.back().frame = {(x0 + x1 - wide) / 2, (y0 + y1 - high) / 2, wide, high}; };
    double last_m = 0;
    for (const WalkPoint& point : walk_points(page)) {
        const int nx0 = std::min(x0, point.at.x), nx1 = std::max(x1, point.at.x);
        const int ny0 = std::min(y0, point.at.y), ny1 = std::max(y1, point.at.y);
        const bool fits = nx1 - nx0 <= wide - 2 * k_edge_m && ny1 - ny0 <= high - 2 * k_edge_m;
        if (out.empty() || !fits) {
            out.emplace_back().from_m = last_m;
            x0 = x1 = point.at.x;
            y0 = y1 = point.at.y;
        } else {
            x0 = nx0, x1 = nx1, y0 = ny0, y1 = ny1;
        }
        out.back().to_m = last_m = point.at_m;
        centre();
        if (page.plane.gridded()) {
            const std::string letters = geo::grid_reference(point.position, page.route.grid, 2);
            out.back().squares.insert(letters.substr(0, letters.size() - 4));
        }
    }
    drop_covered(page, out);
    return out;
}

/// A number on the grid, in whole kilometres: two figures, as in a reference.
std::string figures(double metres) {
    const auto km = static_cast<long long>(std::floor(metres / 1000 + 0.5));
    return fmt::format("{:02}", ((km % 100) + 100) % 100);
}

std::string grid(const PageRoute& page, const Sheet& sheet) {
    if (!page.plane.gridded()) return "";
    const PlaneFrame f = sheet.frame;
    std::string lines, numbers;
    const auto number = [&](int x, int y, const std::string& text) {
        numbers += fmt::format(R"~(<g transform="translate({} {})"><text class="gridnumber">{}</text></g>)~",
                               x, y, text);
    };
    const int in = f.wide / 40; // from the edge to the middle of a number
    for (int x = ((f.x + 999999) / 1000 - 999) * 1000; x < f.x + f.wide; x += 1000) {
        if (x <= f.x) continue;
        lines += fmt::format("M{} {}v{}", x, f.y, f.high);
        for (const int y : {f.y + in, f.y + f.high - in})
            if (x > f.x + 2 * in && x < f.x + f.wide - 2 * in)
                number(x, y, figures(page.plane.corner_east_m() + x));
    }
    for (int y = ((f.y + 999999) / 1000 - 999) * 1000; y < f.y + f.high; y += 1000) {
        if (y <= f.y) continue;
        lines += fmt::format("M{} {}h{}", f.x, y, f.wide);
        for (const int x : {f.x + in, f.x + f.wide - in})
            if (y > f.y + 2 * in && y < f.y + f.high - 2 * in)
                number(x, y, figures(page.plane.corner_north_m() - y));
    }
    return fmt::format(R"~(<path class="grid" d="{}"/>{})~", lines, numbers);
}

std::string scale_bar(int m_per_mm) {
    const int part = m_per_mm == 25 ? 250 : 500, high = 2 * m_per_mm;
    std::string out;
    for (int i = 0; i < 4; ++i)
        out += fmt::format(R"~(<path class="bar b{}" d="M{} {}h{}v{}h-{}z"/>)~", i % 2, i * part,
                           5 * m_per_mm, part, high, part);
    for (int i = 0; i <= 4; i += 2)
        out += fmt::format(R"~(<text x="{}" y="{}" font-size="{}">{} km</text>)~", i * part, 4 * m_per_mm,
                           3 * m_per_mm, i * part / 1000.0);
    const int from = 3 * m_per_mm;
    return fmt::format(
        R"~(<svg class="scalebar" width="{}mm" height="8mm" viewBox="-{} 0 {} {}" role="img" )~"
        R"~(aria-label="Scale bar of {} km">{}</svg>)~",
        4 * part / m_per_mm + 6 + 6, from * 2, 4 * part + 4 * from, 8 * m_per_mm, 4 * part / 1000, out);
}

std::string north_arrow(const PageRoute& page) {
    return fmt::format(
        R"~(<svg class="north" width="10mm" height="12mm" viewBox="-10 -12 20 24" role="img" )~"
        R"~(aria-label="North arrow">)~"
        R"~(<g transform="rotate({:.2f})"><path d="M0-11L5 8 0 4-5 8z"/></g></svg>)~",
        page.plane.north_deg());
}

std::string north_words(const PageRoute& page) {
    if (!page.plane.gridded()) return "Up is true north; there is no one grid for all of this map.";
    const double deg = page.plane.north_deg();
    if (std::abs(deg) < 0.05) return "Up is grid north, which is true north here.";
    return fmt::format("Up is grid north; the arrow is true north, {:.1f}° {} of it.", std::abs(deg),
                       deg > 0 ? "east" : "west");
}

const char* grid_words(geo::GridSystem system) {
    switch (system) {
    case geo::GridSystem::british:
        return "British National Grid";
    case geo::GridSystem::irish:
        return "Irish Grid";
    case geo::GridSystem::utm:
        return "UTM grid (WGS 84)";
    }
    return "";
}

std::string data_words(const Assessment& assessment) {
    std::string out;
    for (const map::Source& source : assessment.sources)
        out += fmt::format("{}{}", out.empty() ? "data until " : ", ",
                           source.data_until ? date_words(*source.data_until) : "an unknown date");
    return out.empty() ? "data of an unknown date" : out;
}

std::string squares_words(const PageRoute& page, const Sheet& sheet) {
    if (!page.plane.gridded()) return "No grid.";
    std::string letters;
    for (const std::string& one : sheet.squares)
        letters += (letters.empty() ? "" : ", ") + one;
    return fmt::format("1 km lines of the {}, squares {}.", grid_words(page.route.grid), letters);
}

std::string contour_words(const PageRoute& page) {
    const double step_m = page.route.map_picture.contour_step_m;
    return step_m > 0 ? fmt::format(" Contours every {:.0f} m.", step_m) : "";
}

std::string sheet_figure(const PageRoute& page, const Assessment& assessment, const Sheet& sheet,
                         std::size_t number, std::size_t of, int m_per_mm) {
    const PlaneFrame f = sheet.frame;
    const std::string id = page_id(page.number, "sheet", number);
    std::string out = fmt::format("<figure class=\"sheet\" id=\"{}\" tabindex=\"0\">\n", id);
    out += fmt::format(
        "<figcaption><strong>{}</strong>, sheet {} of {}: km {} to {}{}, 1:{} 000 where printed at "
        "100 %</figcaption>\n",
        html(page.route.route.name), number, of, km_words(sheet.from_m), km_words(sheet.to_m), sheet.also,
        m_per_mm);
    out += fmt::format(
        R"~(<svg class="sheetmap k{0}" width="{1}mm" height="{2}mm" viewBox="{3} {4} {5} {6}" role="img" )~"
        R"~(aria-label="Map of km {7} to {8} with its grid">)~"
        "\n",
        m_per_mm, k_wide_mm, k_high_mm, f.x, f.y, f.wide, f.high, km_words(sheet.from_m),
        km_words(sheet.to_m));
    const auto use = [&](const char* group) {
        return fmt::format(R"~(<use href="#r{}-{}"/>)~", page.number, group);
    };
    out += use("land") + grid(page, sheet) + use("route") + use("names") + use("signs");
    out += fmt::format("<path class=\"neat\" d=\"M{} {}h{}v{}h-{}z\"/></svg>\n", f.x, f.y, f.wide, f.high,
                       f.wide);
    out += "<div class=\"foot\">" + scale_bar(m_per_mm) + north_arrow(page) +
           fmt::format("<p>{} {}{} Map {}. {}</p></div>\n", north_words(page), squares_words(page, sheet),
                       contour_words(page), data_words(assessment), html(page.attribution));
    return out + "</figure>\n";
}

} // namespace

bool has_sheets(const PageRoute& page) {
    return !page.route.survey.stretches.empty() && page.route.survey.length_m <= k_longest_m;
}

std::string sheets_section(const PageRoute& page, const Assessment& assessment) {
    if (!has_sheets(page)) return "";
    int m_per_mm = 25;
    std::vector<Sheet> sheets = lay_out(page, m_per_mm);
    if (sheets.size() > k_most_large_sheets) sheets = lay_out(page, m_per_mm = 50);
    std::string out = begin_section(page, "s", "Sheets to print");
    out += "<p class=\"screen\">Print this page on A4 at 100 %; measure the scale bar before you trust the "
           "scale. "
           "Carry a published map as well: only what somebody has mapped is on these.</p>\n";
    for (std::size_t i = 0; i < sheets.size(); ++i)
        out += sheet_figure(page, assessment, sheets[i], i + 1, sheets.size(), m_per_mm);
    return out + "</section>\n";
}

} // namespace waywarden::report

#include "report/html_draw.hpp"

#include "report/ranking.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::report {

namespace {

void add_number(std::string& out, int value) {
    if (value >= 0 && !out.empty() && out.back() >= '0' && out.back() <= '9') out += ' ';
    out += fmt::format("{}", value);
}

/// What a name covers, in pixels of a level, upright.
struct Cover {
    double x0, y0, x1, y1;
    bool meets(const Cover& o) const { return x0 < o.x1 && o.x0 < x1 && y0 < o.y1 && o.y0 < y1; }
};

constexpr double k_letter_px = 6.2, k_line_px = 14; ///< of the page's map letters, near enough

Cover cover_of(const PlacedName& placed, double m_per_px) {
    const double turn = placed.turn_deg * std::numbers::pi / 180;
    const double half = static_cast<double>(columns(placed.name->text)) * k_letter_px / 2;
    const double x = placed.at.x / m_per_px, y = placed.at.y / m_per_px;
    const double wide = std::abs(half * std::cos(turn)) + k_line_px / 2;
    const double high = std::abs(half * std::sin(turn)) + k_line_px / 2;
    return {x - wide, y - high, x + wide, y + high};
}

constexpr double k_sign_px = 20;
constexpr double k_paper_m_per_px = 6.7; ///< 1:25 000

Cover cover_of_sign(const PlacedSign& sign, double m_per_px) {
    const double x = sign.at.x / m_per_px + sign.aside_x_px, y = sign.at.y / m_per_px + sign.aside_y_px;
    const double half = k_sign_px / 2 - 1;
    return {x - half, y - half, x + half, y + half};
}

} // namespace

std::string path_data(const std::vector<PlanePoint>& points, bool closed) {
    if (points.size() < 2) return "";
    std::string out = fmt::format("M{}", points[0].x);
    add_number(out, points[0].y);
    out += 'l';
    bool moved = false;
    const std::size_t end = closed && points.front() == points.back() ? points.size() - 1 : points.size();
    for (std::size_t i = 1; i < end; ++i) {
        if (points[i] == points[i - 1]) continue;
        add_number(out, points[i].x - points[i - 1].x);
        add_number(out, points[i].y - points[i - 1].y);
        moved = true;
    }
    if (!moved) return "";
    return closed ? out + 'z' : out;
}

std::string path_data(const MapPlane& plane, const std::vector<geo::Position>& line, bool closed) {
    std::vector<PlanePoint> points;
    points.reserve(line.size());
    for (const geo::Position p : line)
        points.push_back(plane.at(p));
    return path_data(points, closed);
}

std::vector<PlacedName> place_names(const MapPlane& plane, const std::vector<survey::PictureName>& names,
                                    const std::vector<PlacedSign>& signs) {
    std::vector<PlacedName> out;
    std::vector<bool> placed(names.size(), false);
    for (int level = 0; level < k_name_levels; ++level) {
        const double m_per_px = k_level_m_per_px[level];
        std::vector<Cover> taken;
        for (const PlacedSign& sign : signs)
            taken.push_back(cover_of_sign(sign, m_per_px));
        for (const PlacedName& other : out)
            taken.push_back(cover_of(other, m_per_px));
        for (std::size_t i = 0; i < names.size(); ++i) {
            if (placed[i] || columns(names[i].text) > 60) continue;
            if (level == 0 && names[i].of == survey::PictureName::Of::contour) continue;
            PlacedName one{&names[i], plane.at(names[i].at), names[i].bearing_deg - 90 + plane.north_deg(),
                           level};
            const Cover cover = cover_of(one, m_per_px);
            const auto meets = [&](const Cover& other) { return cover.meets(other); };
            if (std::any_of(taken.begin(), taken.end(), meets)) continue;
            taken.push_back(cover);
            out.push_back(one);
            placed[i] = true;
        }
    }
    return out;
}

std::vector<PlacedSign> place_signs(const MapPlane& plane, const Assessed& route, double m_per_px) {
    m_per_px = std::max(m_per_px, k_paper_m_per_px);
    constexpr std::pair<int, int> k_aside[] = {
        {0, 0},  {1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1},  {-1, -1}, {1, 1},  {-1, 1}, {2, 0}, {-2, 0},
        {0, -2}, {0, 2}, {2, -1}, {-2, 1}, {2, 1}, {-2, -1}, {3, 0},   {-3, 0}, {0, -3}, {0, 3}};
    std::vector<PlacedSign> out;
    std::vector<Cover> taken;
    const auto& stretches = route.survey.stretches;
    if (!stretches.empty())
        for (const double at_m : {0.0, route.survey.length_m})
            taken.push_back(
                cover_of_sign({0, nullptr, plane.at(walked_at(stretches, at_m)), 0, 0}, m_per_px));
    std::size_t number = 0;
    for (const rules::Finding* finding : ranked(route)) {
        PlacedSign sign{++number, finding, plane.at(finding->position), 0, 0};
        for (const auto& [right, down] : k_aside) {
            sign.aside_x_px = right * static_cast<int>(k_sign_px);
            sign.aside_y_px = down * static_cast<int>(k_sign_px);
            const Cover cover = cover_of_sign(sign, m_per_px);
            const auto meets = [&](const Cover& other) { return cover.meets(other); };
            if (std::none_of(taken.begin(), taken.end(), meets)) {
                taken.push_back(cover);
                break;
            }
        }
        out.push_back(sign);
    }
    return out;
}

geo::Position walked_at(const std::vector<survey::StretchSurvey>& stretches, double at_m) {
    geo::Position last;
    double last_m = 0;
    bool begun = false;
    for (const survey::StretchSurvey& stretch : stretches)
        for (const match::TracePoint& point : stretch.line) {
            if (begun && point.at_m >= at_m && point.at_m > last_m) {
                const double share = std::clamp((at_m - last_m) / (point.at_m - last_m), 0.0, 1.0);
                return {last.lon_deg + share * (point.position.lon_deg - last.lon_deg),
                        last.lat_deg + share * (point.position.lat_deg - last.lat_deg)};
            }
            last = point.position;
            last_m = point.at_m;
            begun = true;
        }
    return last;
}

std::string page_id(std::size_t route, const char* kind, std::size_t number) {
    return fmt::format("r{}-{}{}", route, kind, number);
}

} // namespace waywarden::report

#include "survey/picture_names.hpp"

#include "survey/cutting.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <tuple>
#include <utility>

namespace waywarden::survey {

namespace {

using Of = PictureName::Of;

/// Weights set the kinds apart: 1e6 for places down to 1e3 for roads; within a kind the size decides.
constexpr std::array<std::pair<std::string_view, double>, 9> k_places{{{"city", 9e6},
                                                                       {"town", 8e6},
                                                                       {"village", 7e6},
                                                                       {"suburb", 6e6},
                                                                       {"hamlet", 5e6},
                                                                       {"island", 4e6},
                                                                       {"isolated_dwelling", 3e5},
                                                                       {"farm", 3e5},
                                                                       {"locality", 2e5}}};

/// The middle of a line, by length, and where it leads there.
std::pair<geo::Metres2, geo::Metres2> middle_of_line(const std::vector<geo::Metres2>& line) {
    double left_m = length_of(line) / 2;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const geo::Metres2 step = line[i] - line[i - 1];
        const double step_m = geo::length_m(step);
        if (step_m >= left_m && step_m > 0) return {line[i - 1] + (left_m / step_m) * step, step};
        left_m -= step_m;
    }
    return {line.front(), {1, 0}};
}

/// Twice the area and the middle of a ring (shoelace formula).
std::pair<double, geo::Metres2> centroid(const std::vector<geo::Metres2>& ring) {
    double twice = 0;
    geo::Metres2 sum;
    for (std::size_t i = 1; i < ring.size(); ++i) {
        const double part = geo::cross(ring[i - 1] - ring[0], ring[i] - ring[0]);
        twice += part;
        sum = sum + part * (ring[i - 1] - ring[0] + (ring[i] - ring[0]));
    }
    if (std::abs(twice) < 1) return {0, ring.front()};
    return {std::abs(twice), ring[0] + (1 / (3 * twice)) * sum};
}

std::optional<std::pair<Of, double>> area_kind(PictureClass of) {
    if (of == PictureClass::water) return std::pair(Of::water, 1e6);
    if (of == PictureClass::wood || of == PictureClass::heath || of == PictureClass::danger)
        return std::pair(Of::wood, 1e5);
    return std::nullopt;
}

std::optional<std::pair<Of, double>> line_kind_of(PictureClass of) {
    if (of == PictureClass::river) return std::pair(Of::water, 9e5);
    if (of == PictureClass::stream) return std::pair(Of::water, 2e3);
    if (of == PictureClass::major_road || of == PictureClass::motorway) return std::pair(Of::road, 3e5);
    if (of == PictureClass::minor_road) return std::pair(Of::road, 5e4);
    if (of >= PictureClass::works && of < PictureClass::minor_road) return std::pair(Of::road, 1e3);
    return std::nullopt;
}

std::string name_of(const map::Object& object) {
    const std::string_view name = object.tags.get("name");
    return std::string(name.empty() ? object.tags.get("ref") : name);
}

} // namespace

void PictureNames::keep_heaviest(PictureName name) {
    const auto known = std::find_if(m_names.begin(), m_names.end(), [&](const PictureName& other) {
        return other.of == name.of && other.text == name.text;
    });
    if (known == m_names.end())
        m_names.push_back(std::move(name));
    else if (name.weight > known->weight)
        *known = std::move(name);
}

void PictureNames::add_place(const map::TaggedNode& node) {
    const std::string name{node.object.tags.get("name")};
    if (name.empty()) return;
    const std::string_view natural = node.object.tags.get("natural");
    if (natural == "peak" || natural == "hill") {
        m_names.push_back({name, Of::summit, node.position, 2e6, 90});
        return;
    }
    const std::string_view place = node.object.tags.get("place");
    for (const auto& [word, weight] : k_places)
        if (place == word)
            m_names.push_back({name, weight < 1e6 ? Of::farm : Of::place, node.position, weight, 90});
}

void PictureNames::add_area(const map::Object& object, PictureClass of,
                            const std::vector<geo::Metres2>& ring) {
    const auto kind = area_kind(of);
    const std::string name{object.tags.get("name")};
    if (!kind || name.empty()) return;
    const auto [twice_m2, middle] = centroid(ring);
    keep_heaviest({name, kind->first, m_frame.to_position(middle), kind->second + std::sqrt(twice_m2), 90});
}

void PictureNames::add_line(const map::Object& object, PictureClass of,
                            const std::vector<geo::Metres2>& line) {
    const auto kind = line_kind_of(of);
    const std::string name = name_of(object);
    if (!kind || name.empty()) return;
    const auto [at, step] = middle_of_line(line);
    double bearing_deg = std::atan2(step.x_m, step.y_m) * 180 / std::numbers::pi;
    if (bearing_deg <= 0) bearing_deg += 180; // writing runs from west to east
    keep_heaviest({name, kind->first, m_frame.to_position(at), kind->second + length_of(line), bearing_deg});
}

std::vector<PictureName> PictureNames::take() && {
    std::stable_sort(m_names.begin(), m_names.end(),
                     [](const PictureName& a, const PictureName& b) { return a.weight > b.weight; });
    return std::move(m_names);
}

} // namespace waywarden::survey

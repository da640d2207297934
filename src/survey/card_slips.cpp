#include "survey/card_slips.hpp"

#include <algorithm>

namespace waywarden::survey {

namespace {

/// A reference in its parts.
struct Parts {
    std::string letters, easting, northing;
    std::string text() const { return letters + " " + easting + " " + northing; }
    friend bool operator==(const Parts&, const Parts&) = default;
};

Parts parts_of(geo::Position position, geo::GridSystem grid, int figures) {
    const std::string text = geo::grid_reference(position, grid, figures);
    const auto each = static_cast<std::size_t>(figures / 2);
    const std::size_t northing = text.size() - each, easting = northing - 1 - each;
    return {text.substr(0, easting - 1), text.substr(easting, each), text.substr(northing)};
}

/// The figures with each pair of neighbours exchanged that differs.
std::vector<std::string> transpositions(const std::string& figures) {
    std::vector<std::string> out;
    for (std::size_t i = 0; i + 1 < figures.size(); ++i) {
        if (figures[i] == figures[i + 1]) continue;
        out.push_back(figures);
        std::swap(out.back()[i], out.back()[i + 1]);
    }
    return out;
}

} // namespace

std::string square_letters(geo::Position position, geo::GridSystem grid) {
    return parts_of(position, grid, 2).letters;
}

std::vector<Slip> slips_of(const route::CardPlace& place, geo::GridSystem grid,
                           const std::vector<std::string>& letters) {
    std::vector<Slip> out;
    if (!place.square) return out;
    const Parts written = parts_of(place.square->middle, grid, place.figures);
    const auto add = [&](ReferenceFault fault, const Parts& meant) {
        if (meant == written) return;
        if (const auto square = geo::parse_grid_reference(meant.text(), grid))
            out.push_back({fault, meant.text(), *square});
    };
    add(ReferenceFault::swapped, {written.letters, written.northing, written.easting});
    for (const std::string& easting : transpositions(written.easting))
        add(ReferenceFault::transposed, {written.letters, easting, written.northing});
    for (const std::string& northing : transpositions(written.northing))
        add(ReferenceFault::transposed, {written.letters, written.easting, northing});
    for (const std::string& other : letters)
        add(ReferenceFault::wrong_square, {other, written.easting, written.northing});
    return out;
}

} // namespace waywarden::survey

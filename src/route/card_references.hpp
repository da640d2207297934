#pragma once

#include "geo/grid_reference.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Grid references as they stand in the cells of a card, with and without the letters of their square.
namespace waywarden::route {

/// A reference found in a text: `SK 914 113`, `sk914113`, `914 113`, `30U XC 644 394`, also in brackets.
struct FoundReference {
    std::string written; ///< as it stands in the text
    std::string letters; ///< upper case, with the zone of MGRS; "" without
    std::string digits;  ///< easting and northing run together
    std::string rest;    ///< the text without it and without the punctuation around it: the name
    bool halved = true;  ///< whether it is plain where the northing begins: an even number, 4 to 10
};

/// Looks for a reference. In a column of references (`expected`) a text with digits is one, be it readable or
/// not; in a column of names only what plainly is one: letters with digits, or six to ten digits.
std::optional<FoundReference> find_reference(std::string_view text, bool expected);

/// The grid that most letters belong to; British where there are none.
geo::GridSystem grid_of_letters(const std::vector<std::string>& letters);

/// The square that letters and digits name on the grid, none where it is not on it.
std::optional<geo::GridSquare> square_of(const std::string& letters, const std::string& digits,
                                         geo::GridSystem grid);

} // namespace waywarden::route

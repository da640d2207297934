#pragma once

#include "route/card_table.hpp"

#include <string>
#include <string_view>
#include <vector>

/// What the columns of a route card mean, by the words above them.
namespace waywarden::route {

enum class Column {
    unknown,
    leg,
    from,
    from_reference,
    to,
    to_reference,
    place, ///< one checkpoint a row
    place_reference,
    direction,
    distance,
    ascent,
    descent,
    travel,
    rest,
    total,
    depart,
    arrive,
    escape,
    notes,
    running, ///< a sum so far; not read
};

struct ColumnHead {
    Column column = Column::unknown;
    std::string title;     ///< as written
    std::string unit;      ///< lower case, "" where it names none
    bool magnetic = false; ///< of a direction
};

/// The meaning of one title, alone. A reference without a hint whose is `place_reference`.
ColumnHead read_title(std::string_view title);

/// The rows that head the table: from `first`, `rows` of them (two where the upper groups the lower, as
/// "From" over "Place" and "Grid reference"); none where no row names an end of a leg and two columns more.
struct TableHead {
    std::size_t first = 0, rows = 0;
    std::vector<ColumnHead> columns;
    bool found() const { return rows > 0; }
    bool has(Column column) const;
};
TableHead find_head(const std::vector<TableRow>& rows);

} // namespace waywarden::route

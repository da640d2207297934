#include "report/card_rows.hpp"
#include "report/csv_cells.hpp"
#include "report/write.hpp"

#include <ostream>

namespace waywarden::report {

void write_card_csv(const Assessment& assessment, std::ostream& out) {
    csv_line(out, {"route", "card", "line", "leg", "what", "on_card", "on_walk", "objected_to"});
    for (const Assessed& route : assessment.routes)
        for (const CardRow& row : card_rows(route))
            for (const CardCell& cell : row.cells)
                csv_line(out, {text_cell(route.route.name), text_cell(route.card->card.path),
                               std::to_string(row.line), text_cell(row.title), text_cell(cell.what),
                               text_cell(cell.card), text_cell(cell.walk), cell.differs ? "yes" : "no"});
}

} // namespace waywarden::report

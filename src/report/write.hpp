#pragma once

#include "assess.hpp"

#include <iosfwd>
#include <string>
#include <vector>

/// One writer a format: each gets an Assessment and a stream, and computes nothing but sums and the way
/// a number is written. None looks at the state of the stream: whoever owns it does, once it is flushed.
namespace waywarden::report {

/// The result as docs/result.schema.json describes it. Metres to 0.01, positions to 7 digits (1 cm), every
/// number finite, bytes that are no UTF-8 replaced; the same input gives the same bytes.
void write_json(const Assessment& assessment, std::ostream& out);

struct TextStyle {
    bool colour = false;    ///< terminal colours; only for a terminal whose user did not set NO_COLOR
    std::size_t width = 78; ///< columns, as a mail or a terminal shows them
};

/// What a leader reads: verdict, findings by weight and then by place, and what was not seen. Several
/// routes are led by the summary. Names from files cannot reach the terminal as control characters.
void write_text(const Assessment& assessment, std::ostream& out, const TextStyle& style = {});

/// A table of the routes, the worst first, and the files that could not be read.
void write_summary_text(const Assessment& assessment, std::ostream& out, const TextStyle& style = {});

/// SARIF 2.1.0: one run, a result a finding, placed by line in the route file. What could not be vouched for
/// is of kind `open`.
void write_sarif(const Assessment& assessment, std::ostream& out);

/// GeoJSON (RFC 7946): stretches, crossings and findings, told apart by the property `kind`.
void write_geojson(const Assessment& assessment, std::ostream& out);

/// GPX 1.1: findings as waypoints, numbered as in the text, and the route as drawn as a track.
void write_gpx(const Assessment& assessment, std::ostream& out);

/// A table of the findings (RFC 4180, UTF-8), one line each, numbered as in the text. What a spreadsheet
/// would take for a formula gets an apostrophe before it.
void write_csv(const Assessment& assessment, std::ostream& out);

/// A table of the legs of every route, one line each, in the same manner. A bearing or figure that is not
/// known is an empty cell.
void write_legs_csv(const Assessment& assessment, std::ostream& out);

/// A table of the cards beside the walks, one line a figure, in the same manner.
void write_card_csv(const Assessment& assessment, std::ostream& out);

/// A table of the routes, the worst first.
void write_summary_csv(const Assessment& assessment, std::ostream& out);

/// A table of what several routes share, one line for each thing and route.
void write_shared_csv(const Assessment& assessment, std::ostream& out);

/// One page that loads nothing and opens from a mail: verdict, map, findings, tables, and sheets to print.
/// Several routes stand on one page, led by a table.
void write_html(const Assessment& assessment, std::ostream& out);

/// A table of the routes, the worst first, as a page.
void write_summary_html(const Assessment& assessment, std::ostream& out);
/// The same with links to the pages of the routes, STEM.html in the same folder; `stems` in their order.
void write_summary_html(const Assessment& assessment, const std::vector<std::string>& stems,
                        std::ostream& out);

/// A sheet to give back to those who planned the walk, as text or as a page to print: at most ten places as
/// questions, by leg, without the answers. See team_sheet.hpp. Several routes: one sheet after the other.
void write_team_text(const Assessment& assessment, std::ostream& out);
void write_team_html(const Assessment& assessment, std::ostream& out);

/// The sheet of somebody who organises a walk for many (docs/marshals.md): where marshals are needed, where
/// people queue, where help gets in. As text, page, table and waypoints.
void write_marshals_text(const Assessment& assessment, std::ostream& out);
void write_marshals_html(const Assessment& assessment, std::ostream& out);
void write_marshals_csv(const Assessment& assessment, std::ostream& out);
void write_marshals_gpx(const Assessment& assessment, std::ostream& out);

} // namespace waywarden::report

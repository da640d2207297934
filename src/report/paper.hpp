#pragma once

#include "report/write.hpp"

#include <string>
#include <string_view>

namespace waywarden::report {

enum class Ink { plain, strong, faint, caution, objection };

/// Lines of text to a stream, wrapped, made safe to show, and coloured where that is wanted.
class Paper {
  public:
    Paper(std::ostream& out, const TextStyle& style) : m_out(out), m_style(style) {}
    /// The text after a label; lines that follow are set in below it.
    void line(Ink ink, std::string_view label, std::string_view text);
    void table_line(const std::string& text); ///< as it stands: columns line up
    void gap();                               ///< an empty line
    void rule();                              ///< a line across, with space around it
    bool used() const { return m_used; }

  private:
    std::ostream& m_out;
    TextStyle m_style;
    bool m_used = false;
};

inline constexpr std::string_view k_no_approval =
    "A clean report is not an approval: local law, local advice and a competent leader decide.";

/// The walk leg by leg, and how its figures were come by; nothing where nothing parts it.
void write_legs(const Assessed& route, Paper& paper);

/// The card beside the walk, where there is one.
void write_card(const Assessed& route, Paper& paper);

/// Places near the route for need and rest: at most a dozen lines.
void write_places(const Assessed& route, Paper& paper);

/// The table of routes, the worst first, and what could not be read.
void write_summary_table(const Assessment& assessment, Paper& paper);

/// What the judgement rests on: map and its age, region, party, rules, attribution.
void write_origin(const Assessment& assessment, Paper& paper);

} // namespace waywarden::report

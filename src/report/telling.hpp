#pragma once

#include "assess.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// What reports for people say about a route, in the same words whatever the format. Plain text: names from
/// files come as they are, and whoever writes them makes them safe for the format.
namespace waywarden::report {

/// The grounds that findings rest on, each once, numbered in the order in which they come up.
class GroundsList {
  public:
    std::size_t number_of(const std::string& text) {
        const auto known = std::find(m_texts.begin(), m_texts.end(), text);
        if (known != m_texts.end()) return static_cast<std::size_t>(known - m_texts.begin()) + 1;
        m_texts.push_back(text);
        return m_texts.size();
    }
    const std::vector<std::string>& texts() const { return m_texts; }

  private:
    std::vector<std::string> m_texts;
};

std::string counts(const Assessed& route);        ///< 1 objection, 6 cautions, 5 notes
std::string what_it_means(const Assessed& route); ///< one sentence about the verdict

/// "Accepted by the leader until 1 May 2027: the farmer agreed", or that it was accepted before and why that
/// no longer counts, or "".
std::string acceptance_words(const rules::Finding& finding);

/// What brought the verdict about: a title of findings, with where each begins, in order of the walk.
struct Reason {
    std::string title;
    std::vector<double> from_m;
};
std::vector<Reason> reasons(const Assessed& route);
std::string reason_words(const Reason& reason); ///< "A gate is recorded as locked (km 9.9)"

std::string access_words(map::Access access); ///< "minor road"
/// Metres walked on each class, the longest first.
std::vector<std::pair<map::Access, double>> metres_by_access(const Assessed& route);
std::string lengths_by_access(const Assessed& route); ///< "footpath 8.8 km, minor road 2.3 km"
std::string crossing_counts(const Assessed& route);   ///< "roads 7, water 5"; places, not entries

std::string place_of(const rules::Finding& finding, geo::GridSystem grid); ///< "SP 950 999, at km 4.93"
std::string evidence_words(const survey::Evidence& evidence);
std::string grade_of(const rules::Finding& finding); ///< how well what it rests on is known

inline constexpr const char* k_unused_title = "Acceptances that cover nothing now";
/// `"A stile" (SK 914 113, at km 1.20), accepted by leader until 3 May 2026 (seen): it has expired`.
std::string unused_words(const UnusedAcceptance& unused, geo::GridSystem grid);

/// How old the data of a map are, as a reader is told: "data until 20 November 2026".
std::string data_age_words(const map::Source& source);

/// Whom the maps credit, each once, in their order, as one text of data; OpenStreetMap's where there is none.
std::string attribution(const std::vector<map::Source>& sources);
/// The same in sentences: "Map data © OpenStreetMap contributors, under the Open Database Licence."
std::string attribution_words(const std::vector<map::Source>& sources);

/// `from 1.2 to 1.5 km (SK 914 113): speed limit of Back Lane was 60 mph, now 40 mph`.
std::string change_words(const Change& change, geo::GridSystem grid);

} // namespace waywarden::report

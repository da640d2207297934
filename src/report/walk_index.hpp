#pragma once

#include "survey/survey.hpp"

#include <cstdint>
#include <unordered_map>
#include <vector>

namespace waywarden::report {

/// Finds the stretch of a walk at a place on the ground.
class WalkIndex {
  public:
    explicit WalkIndex(const survey::Survey& walk);

    /// The stretch within `k_near_m` of the place; of several about as near (the walk comes by twice) the one
    /// whose share of the whole walk is nearest to `share`. Null where there is none.
    const survey::StretchSurvey* at(geo::Position place, double share) const;

    static constexpr double k_near_m = 30;

  private:
    struct Piece {
        geo::Metres2 a, b;
        std::uint32_t stretch;
    };
    static std::uint64_t cell(std::int64_t column, std::int64_t row);

    const survey::Survey& m_walk;
    geo::LocalFrame m_frame;
    std::vector<Piece> m_pieces;
    std::unordered_multimap<std::uint64_t, std::uint32_t> m_cells; ///< pieces by the cells of their box
};

} // namespace waywarden::report

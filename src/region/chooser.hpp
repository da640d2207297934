#pragma once

#include "region/region.hpp"

namespace waywarden::region {

/// Chooses as `choose` does, for many lines, with the files of the regions read but once.
class Chooser {
  public:
    explicit Chooser(const std::string& name_or_auto); ///< throws as `load` does for a given name
    Choice choose(std::span<const geo::Position> line) const;

  private:
    bool m_auto;
    std::vector<Region> m_regions; ///< the named one alone where one was given
    std::string m_note;            ///< of regions that cannot be read
};

} // namespace waywarden::region

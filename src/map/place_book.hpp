#pragma once

#include "map/node_places.hpp"

#include <deque>
#include <vector>

namespace waywarden::map {

/// Where the nodes of several files are. Of several versions of a node the newest counts, of equal ones that
/// of the last file.
class PlaceBook {
  public:
    /// The places of the next file: parts of which each has higher ids than the one before. Throws NotSorted
    /// where they do not.
    void add(std::vector<NodePlaces>&& parts);

    /// One a thread.
    class Finder {
      public:
        explicit Finder(const PlaceBook& book);
        NodePlaces::Place find(std::int64_t id);

      private:
        struct Part {
            std::int64_t first, last;
            NodePlaces::Finder finder;
        };
        std::vector<std::vector<Part>> m_files;
    };

  private:
    std::deque<std::vector<NodePlaces>> m_files;
};

} // namespace waywarden::map

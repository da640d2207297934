#pragma once

#include "map/collect.hpp"
#include "map/place_book.hpp"
#include "map/record_sorter.hpp"
#include "map/source_of.hpp"

#include <vector>

namespace waywarden::map {

/// Takes every node of a file, or of a part of it: its place, and what it is tagged with.
struct PlacingLook {
    /// `records`: where the tagged nodes go at once, if ids ascend and each is there but once. Null: nodes
    /// may come in any order and more than once; they wait in memory until they can be compared.
    PlacingLook(std::size_t memory_bytes, const std::string& folder, RecordSorter* records)
        : m_records(records), m_places(memory_bytes, folder) {}

    void take(const osmium::Node& node); ///< throws NotSorted where they had to be sorted

    std::uint64_t count = 0;
    Box seen{1e9, 1e9, -1e9, -1e9};
    std::int64_t newest_s = 0;
    Layers layers;
    std::vector<Object> tagged;

  private:
    friend std::vector<NodePlaces> places_of(std::vector<PlacingLook>&& looks);
    RecordSorter* m_records;
    NodePlaces m_places;
    KnownNodes m_unsorted;
    std::string m_bytes;
};

void finish_source(const std::vector<PlacingLook>& looks, Source& source);
std::vector<NodePlaces> places_of(std::vector<PlacingLook>&& looks);
/// Of several versions of a tagged node the one that was edited last, where the node is now.
void add_newest(std::vector<Object>&& tagged, const PlaceBook& places, RecordSorter& records);

} // namespace waywarden::map

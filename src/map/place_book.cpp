#include "map/place_book.hpp"

#include "map/sorted_pbf.hpp"

namespace waywarden::map {

void PlaceBook::add(std::vector<NodePlaces>&& parts) {
    std::vector<NodePlaces> filled;
    for (NodePlaces& part : parts) {
        if (part.empty()) continue;
        if (!filled.empty() && part.first_id() <= filled.back().last_id()) throw NotSorted();
        filled.push_back(std::move(part));
    }
    m_files.push_back(std::move(filled));
}

PlaceBook::Finder::Finder(const PlaceBook& book) {
    for (const auto& file : book.m_files) {
        auto& parts = m_files.emplace_back();
        for (const NodePlaces& part : file)
            parts.push_back({part.first_id(), part.last_id(), NodePlaces::Finder(part)});
    }
}

NodePlaces::Place PlaceBook::Finder::find(std::int64_t id) {
    NodePlaces::Place newest;
    for (auto& parts : m_files)
        for (Part& part : parts) {
            if (id < part.first || id > part.last) continue;
            const NodePlaces::Place place = part.finder.find(id);
            if (place.known && (!newest.known || place.version >= newest.version)) newest = place;
        }
    return newest;
}

} // namespace waywarden::map

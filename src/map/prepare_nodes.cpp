#include "map/prepare_nodes.hpp"

#include "map/prepared_cells.hpp"
#include "map/prepared_objects.hpp"

#include <algorithm>

namespace waywarden::map {

namespace {

void add_record(std::int64_t id, const PlainNode& node, RecordSorter& records, std::string& bytes) {
    const osmium::Location p = node.place;
    const CellKey cell = cell_of(Layer::nodes, {p.x(), p.y(), p.x(), p.y()});
    bytes.clear();
    write_node(node, bytes);
    records.add(cell, id, bytes);
}

} // namespace

void PlacingLook::take(const osmium::Node& node) {
    if (m_records && !node.visible()) throw NotSorted();
    if (!node.visible()) m_unsorted.add(node);
    if (!node.visible() || !node.location().valid()) return;
    const geo::Position p{node.location().lon_without_check(), node.location().lat_without_check()};
    ++count;
    const std::int64_t edited_s =
        node.timestamp().valid() ? static_cast<std::int64_t>(node.timestamp().seconds_since_epoch()) : 0;
    seen = {std::min(seen.west_deg, p.lon_deg), std::min(seen.south_deg, p.lat_deg),
            std::max(seen.east_deg, p.lon_deg), std::max(seen.north_deg, p.lat_deg)};
    newest_s = std::max(newest_s, edited_s);
    if (m_records)
        m_places.add(node.id(), node.location(), 1);
    else
        m_unsorted.add(node);
    if (node.tags().empty()) return;
    refuse_zero_bytes(node.tags());
    layers.take_node(node.tags());
    if (m_records) {
        std::string tags;
        write_tags(node.tags(), tags);
        add_record(node.id(), {edited_s, node.location(), tags}, *m_records, m_bytes);
    } else {
        tagged.push_back(object_of(node));
    }
}

void finish_source(const std::vector<PlacingLook>& looks, Source& source) {
    std::uint64_t count = 0;
    Box seen{1e9, 1e9, -1e9, -1e9};
    std::int64_t newest_s = 0;
    for (const PlacingLook& look : looks) {
        count += look.count;
        seen = {std::min(seen.west_deg, look.seen.west_deg), std::min(seen.south_deg, look.seen.south_deg),
                std::max(seen.east_deg, look.seen.east_deg), std::max(seen.north_deg, look.seen.north_deg)};
        newest_s = std::max(newest_s, look.newest_s);
    }
    take_nodes_into(source, count, seen, newest_s);
}

std::vector<NodePlaces> places_of(std::vector<PlacingLook>&& looks) {
    std::vector<NodePlaces> places;
    KnownNodes unsorted;
    for (PlacingLook& look : looks)
        unsorted.absorb(std::move(look.m_unsorted));
    unsorted.sort();
    for (const KnownNodes::Entry& node : unsorted.entries())
        looks.front().m_places.add(node.id, node.location, node.version);
    for (PlacingLook& look : looks) {
        look.m_places.close();
        places.push_back(std::move(look.m_places));
    }
    return places;
}

void add_newest(std::vector<Object>&& tagged, const PlaceBook& places, RecordSorter& records) {
    std::stable_sort(tagged.begin(), tagged.end(), [](const Object& a, const Object& b) {
        return a.id != b.id ? a.id < b.id : a.edited_s > b.edited_s;
    });
    PlaceBook::Finder finder(places);
    std::string bytes;
    for (std::size_t i = 0; i < tagged.size(); ++i) {
        if (i > 0 && tagged[i - 1].id == tagged[i].id) continue;
        const NodePlaces::Place now = finder.find(tagged[i].id.id);
        if (!now.known || !now.location.is_defined()) continue; // deleted in a newer file
        std::string tags;
        write_tags(tagged[i].tags, tags);
        add_record(tagged[i].id.id, {tagged[i].edited_s, now.location, tags}, records, bytes);
    }
}

} // namespace waywarden::map

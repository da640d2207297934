#include "map/prepare_ways.hpp"

#include "map/interest.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::map {

namespace {

constexpr std::size_t k_most_tallies = 100'000; // some ten megabytes; then they go to be sorted

} // namespace

void WayChoice::add(const osmium::Way& way, std::size_t file, bool is_member) {
    if (!way.visible())
        m_deleted.emplace_back(way.id(), way.version());
    else if (is_member || is_of_interest(way))
        m_claims.push_back({way.id(), way.version(), file});
}

void WayChoice::close() {
    // As newest_by_id: the highest version, of equal ones the first, unless a higher one was deleted.
    std::stable_sort(m_claims.begin(), m_claims.end(), [](const Claim& a, const Claim& b) {
        return a.id != b.id ? a.id < b.id : a.version > b.version;
    });
    std::sort(m_deleted.begin(), m_deleted.end());
    constexpr Claim k_none{0, 0, SIZE_MAX};
    for (std::size_t i = 0; i < m_claims.size(); ++i) {
        const Claim& claim = m_claims[i];
        if (i > 0 && m_claims[i - 1].id == claim.id) {
            m_disputed.emplace(claim.id, m_claims[i - 1]);
            continue;
        }
        const auto later =
            std::upper_bound(m_deleted.begin(), m_deleted.end(), std::pair(claim.id, claim.version));
        if (later != m_deleted.end() && later->first == claim.id) m_disputed.emplace(claim.id, k_none);
    }
    m_claims = {};
}

bool WayChoice::takes(const osmium::Way& way, std::size_t file) const {
    const auto at = m_disputed.find(way.id());
    return at == m_disputed.end() || (at->second.version == way.version() && at->second.file == file);
}

void PreparingWays::find_places(const osmium::Way& way) {
    m_way.nodes.clear();
    m_way.places.clear();
    m_way.has_deleted_node = false;
    for (const osmium::NodeRef& ref : way.nodes()) {
        const NodePlaces::Place place = m_finder.find(ref.ref());
        m_way.nodes.push_back(ref.ref());
        m_way.places.push_back(place.location);
        m_way.has_deleted_node |= place.known && !place.location.is_defined();
    }
}

void PreparingWays::take(const osmium::Way& way) {
    ++count;
    if (way.timestamp().valid())
        newest_s = std::max(newest_s, static_cast<std::int64_t>(way.timestamp().seconds_since_epoch()));
    if (!way.visible()) return;
    refuse_zero_bytes(way.tags());
    layers.take_way(way.tags());
    const bool counts = Tallies::counts(way.tags());
    const auto memberships = m_relations.memberships_of(way.id());
    const bool matters = is_of_interest(way);
    if (!counts && !matters && memberships.empty()) return;
    find_places(way);
    if (counts) tally(way);
    if ((!matters && memberships.empty()) || !m_choice.takes(way, m_file)) return;
    m_way.id = way.id();
    m_way.edited_s =
        way.timestamp().valid() ? static_cast<std::int64_t>(way.timestamp().seconds_since_epoch()) : 0;
    m_way.is_member = !memberships.empty();
    m_tags.clear();
    write_tags(way.tags(), m_tags);
    m_way.tags = m_tags;
    RelationBook::add_member(memberships, m_way, m_members);
    if (matters) add_record(way.tags().has_key("highway"));
}

void PreparingWays::add_record(bool is_road) {
    const UnitBox box = m_way.box();
    if (box.west > box.east) return; // nothing can be told of a way without a place
    const CellKey cell = cell_of(is_road ? Layer::roads : Layer::ways, box);
    m_bytes.clear();
    write_way(m_way, m_bytes);
    m_records.add(cell, m_way.id, m_bytes);
}

void PreparingWays::tally(const osmium::Way& way) {
    Tallies::Way tally(m_tallies, way.tags());
    osmium::Location last;
    for (const osmium::Location at : m_way.places) {
        if (last.is_defined() && at.is_defined())
            tally.piece({last.lon_without_check(), last.lat_without_check()},
                        {at.lon_without_check(), at.lat_without_check()});
        last = at;
    }
    if (m_tallies.cells().size() > k_most_tallies) flush();
}

void PreparingWays::flush() {
    for (const auto& [key, length] : m_tallies.cells()) {
        const geo::Position middle = Tallies::middle_of(key);
        const auto x = static_cast<std::int32_t>(std::lround(middle.lon_deg * 1e7));
        const auto y = static_cast<std::int32_t>(std::lround(middle.lat_deg * 1e7));
        m_bytes.clear();
        write_tally(length, m_bytes);
        m_records.add(cell_of(Layer::tallies, {x, y, x, y}), static_cast<std::int64_t>(key), m_bytes);
    }
    m_tallies = {};
}

} // namespace waywarden::map

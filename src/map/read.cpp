#include "map/read.hpp"

#include "error.hpp"
#include "map/build_ground.hpp"
#include "map/file_looks.hpp"

#include <fmt/format.h>
#include <osmium/io/opl_input.hpp>
#include <osmium/io/pbf_input.hpp>
#include <osmium/io/xml_input.hpp>

#include <algorithm>

namespace waywarden::map {

namespace {

using osmium::osm_entity_bits::node;
using osmium::osm_entity_bits::relation;
using osmium::osm_entity_bits::way;

constexpr double k_wide_m =
    1500; // a segment of up to twice this is found though both its nodes lie far from the line

std::string iso_8601(std::int64_t seconds) {
    return osmium::Timestamp(static_cast<std::uint32_t>(seconds)).to_iso();
}

class Reading {
  public:
    Reading(std::vector<MapFile> files, const Corridor& corridor, const ReadOptions& options)
        : m_files(std::move(files)), m_corridor(corridor), m_options(options),
          m_wide(corridor, std::max(k_wide_m, corridor.reach_m)), m_near(corridor, corridor.reach_m) {}

    Ground run() {
        Ground ground;
        RelationLook relations;
        look(relation, 0.0, 0.2, [&](const osmium::Relation& r) { relations.take(r); });
        for (const osmium::Relation& r : relations.relations.select<osmium::Relation>())
            for (const osmium::RelationMember& member : r.members())
                if (member.type() == osmium::item_type::way) m_members.insert(member.ref());
        look_at_nodes(ground);
        WayLook ways(m_gathered.nodes, m_members);
        look(way, 0.5, 0.75, [&](const osmium::Way& w) { ways.take(w); });
        if (ways.count == 0)
            throw DataError(fmt::format(
                "{}: holds no ways at all; it is not a map extract or was cut short: fetch or make it again",
                m_files.front().path()));
        for (Source& source : ground.sources)
            finish(source, ways.newest_s);
        look_for_late_nodes(ways);
        m_gathered.relations = std::move(relations.relations);
        m_gathered.ways = std::move(ways.ways);
        build_ground(m_gathered, m_corridor, m_near, ground);
        return ground;
    }

  private:
    template <class Take>
    void look(osmium::osm_entity_bits::type kinds, double from, double to, Take&& take) {
        using Object = std::decay_t<typename first_argument<decltype(&std::decay_t<Take>::operator())>::type>;
        for (std::size_t i = 0; i < m_files.size(); ++i)
            m_files[i].look(
                kinds, m_options.threads,
                [&](const osmium::memory::Buffer& buffer) {
                    for (const Object& object : buffer.select<Object>())
                        take(object);
                },
                [&](double share) {
                    if (m_options.progress)
                        m_options.progress(from + (to - from) * (static_cast<double>(i) + share) /
                                                      static_cast<double>(m_files.size()));
                });
    }
    template <class T> struct first_argument;
    template <class C, class R, class A> struct first_argument<R (C::*)(A) const> { using type = A; };

    void look_at_nodes(Ground& ground);
    void look_for_late_nodes(WayLook& ways);
    static void finish(Source& source, std::int64_t newest_way_s);

    std::vector<MapFile> m_files;
    const Corridor& m_corridor;
    const ReadOptions& m_options;
    const CorridorNet m_wide, m_near;
    std::unordered_set<std::int64_t> m_members;
    Gathered m_gathered;
};

void Reading::look_at_nodes(Ground& ground) {
    for (const MapFile& file : m_files) {
        NodeLook nodes(m_wide, m_near);
        file.look(node, m_options.threads, [&](const osmium::memory::Buffer& buffer) {
            for (const osmium::Node& n : buffer.select<osmium::Node>())
                nodes.take(n);
        });
        Source source;
        source.path = file.path();
        if (!file.header().boxes().empty()) {
            const osmium::Box box = file.header().joined_boxes();
            if (box.valid())
                source.bounds = Box{box.bottom_left().lon(), box.bottom_left().lat(), box.top_right().lon(),
                                    box.top_right().lat()};
        }
        if (nodes.count > 0) source.node_bounds = nodes.seen;
        const std::string replicated = file.header().get("osmosis_replication_timestamp");
        source.data_until_from_header = !replicated.empty();
        if (!replicated.empty())
            source.data_until = replicated;
        else if (nodes.newest_s > 0)
            source.data_until = iso_8601(nodes.newest_s);
        ground.sources.push_back(source);
        m_gathered.nodes.absorb(std::move(nodes.nodes));
        std::move(nodes.tagged.begin(), nodes.tagged.end(), std::back_inserter(m_gathered.tagged));
        m_gathered.tagged_positions.insert(m_gathered.tagged_positions.end(), nodes.tagged_positions.begin(),
                                           nodes.tagged_positions.end());
    }
    m_gathered.nodes.sort();
}

void Reading::finish(Source& source, std::int64_t newest_way_s) {
    if (source.data_until_from_header || newest_way_s == 0) return;
    const std::string newest = iso_8601(newest_way_s);
    if (!source.data_until || *source.data_until < newest) source.data_until = newest;
}

void Reading::look_for_late_nodes(WayLook& ways) {
    std::vector<std::int64_t> wanted = ways.far_refs;
    for (const osmium::Way& w : ways.ways.select<osmium::Way>())
        for (const osmium::NodeRef& ref : w.nodes())
            if (!m_gathered.nodes.has(ref.ref())) wanted.push_back(ref.ref());
    std::sort(wanted.begin(), wanted.end());
    wanted.erase(std::unique(wanted.begin(), wanted.end()), wanted.end());
    if (wanted.empty()) return;
    LateNodeLook late(wanted);
    look(node, 0.75, 1.0, [&](const osmium::Node& n) { late.take(n); });
    late.nodes.sort();
    std::unordered_set<std::int64_t> holding;
    for (std::size_t i = 0; i < ways.far_areas.size(); ++i) {
        std::vector<geo::Position> ring;
        for (std::size_t k = ways.far_starts[i]; k < ways.far_starts[i + 1]; ++k)
            if (const osmium::Location at = late.nodes.location(ways.far_refs[k]); at.valid())
                ring.push_back({at.lon_without_check(), at.lat_without_check()});
        for (const auto& line : m_corridor.lines)
            if (!line.empty() && !ring.empty() && ring_holds(ring, line.front()))
                holding.insert(ways.far_areas[i]);
    }
    m_gathered.nodes.absorb(std::move(late.nodes));
    m_gathered.nodes.sort();
    if (holding.empty()) return;
    look(way, 0.99, 1.0, [&](const osmium::Way& w) {
        if (holding.count(w.id()) == 0) return;
        ways.ways.add_item(w);
        ways.ways.commit();
    });
}

} // namespace

Ground read(std::span<const std::string> paths, const Corridor& corridor, const ReadOptions& options) {
    std::vector<MapFile> files;
    for (const std::string& path : paths)
        files.emplace_back(path);
    if (files.empty()) throw ArgumentError("no map was given; name an extract with --map FILE");
    return Reading(std::move(files), corridor, options).run();
}

Ground read_text(std::string_view bytes, const std::string& format, const Corridor& corridor) {
    std::vector<MapFile> files;
    files.emplace_back(osmium::io::File(bytes.data(), bytes.size(), format), "(text)");
    return Reading(std::move(files), corridor, {}).run();
}

} // namespace waywarden::map

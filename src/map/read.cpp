#include "map/read.hpp"

#include "error.hpp"
#include "map/build_ground.hpp"
#include "map/file_looks.hpp"
#include "map/prepared_about.hpp"
#include "map/prepared_file.hpp"
#include "map/read_prepared.hpp"
#include "map/source_of.hpp"

#include <fmt/format.h>
#include <osmium/io/opl_input.hpp>
#include <osmium/io/pbf_input.hpp>
#include <osmium/io/xml_input.hpp>

#include <algorithm>

namespace waywarden::map {

namespace {

class Reading {
  public:
    Reading(std::vector<std::unique_ptr<MapFile>>& files, const Corridor& corridor,
            const ReadOptions& options)
        : m_files(files), m_corridor(corridor), m_options(options),
          m_shares(corridor, corridor.shares_m + Tallies::k_margin_m),
          m_wide(corridor, std::max(corridor.around_m, corridor.reach_m)), m_near(corridor, corridor.reach_m),
          m_corridor_boxes(boxes_of(corridor)) {}

    Ground run() {
        Ground ground;
        for (const auto& file : m_files)
            look_at_relations(*file);
        for (const auto& file : m_files)
            look_at_nodes(*file, ground);
        m_gathered.nodes.sort();
        std::vector<const NodeBoxes*> boxes;
        for (const NodeBoxes& of_file : m_boxes)
            boxes.push_back(&of_file);
        WayLook ways(m_gathered.nodes, boxes, m_corridor_boxes, m_members);
        for (std::size_t i = 0; i < m_files.size(); ++i)
            look_at_ways(*m_files[i], ways, ground.sources[i]);
        look_at_late_nodes(ways);
        m_gathered.ways = std::move(ways.ways);
        ground.layers.absorb(ways.layers);
        ground.tallies = std::move(ways.tallies);
        m_gathered.deleted_ways = std::move(ways.deleted);
        build_ground(m_gathered, m_corridor, {m_near, m_wide}, ground);
        tell_if_cut_short(m_relations, m_ways, ground);
        return ground;
    }

  private:
    /// Gathers the objects of one type of one file into looks of the same making, one a part, and puts those
    /// together.
    template <class Object, class Look>
    void gather(MapFile& file, MapFile::Wish wish, Look& look, const std::function<Look()>& make) {
        wish.type = Object::itemtype;
        wish.threads = std::max(1, m_options.threads);
        wish.progress = m_options.progress;
        std::vector<Look> parts;
        for (int i = 0; i < wish.threads; ++i)
            parts.push_back(make());
        file.look(wish, [&](std::size_t part, const osmium::memory::Buffer& buffer) {
            for (const Object& object : buffer.select<Object>())
                parts[part].take(object);
        });
        for (Look& part : parts)
            look.absorb(std::move(part));
    }

    void look_at_relations(MapFile& file);
    void look_at_nodes(MapFile& file, Ground& ground);
    void look_at_ways(MapFile& file, WayLook& ways, Source& source);
    void look_at_late_nodes(WayLook& ways);
    std::unordered_set<std::int64_t> far_ways_that_matter(const WayLook& ways, const KnownNodes& late) const;

    std::vector<std::unique_ptr<MapFile>>& m_files;
    const Corridor& m_corridor;
    const ReadOptions& m_options;
    const CorridorNet m_shares;
    /// A piece of a way of up to twice its reach is found though both its nodes lie far from the line.
    const CorridorNet m_wide;
    const CorridorNet m_near;
    const std::vector<UnitBox> m_corridor_boxes;
    std::uint64_t m_relations = 0, m_ways = 0;
    std::vector<NodeBoxes> m_boxes;
    std::unordered_set<std::int64_t> m_members;
    Gathered m_gathered;
};

void Reading::look_at_relations(MapFile& file) {
    RelationLook relations;
    gather<osmium::Relation, RelationLook>(file, {}, relations, [] { return RelationLook(); });
    for (const osmium::Relation& r : relations.relations.select<osmium::Relation>())
        for (const osmium::RelationMember& member : r.members())
            if (member.type() == osmium::item_type::way) m_members.insert(member.ref());
    m_relations += relations.count;
    m_gathered.deleted_relations.insert(m_gathered.deleted_relations.end(), relations.deleted.begin(),
                                        relations.deleted.end());
    m_gathered.relations.add_buffer(relations.relations);
    m_gathered.relations.commit();
}

void Reading::look_at_nodes(MapFile& file, Ground& ground) {
    Source source = source_of(file);
    const bool plain = header_says_it(source);
    const auto make = [&] { return NodeLook(m_shares, m_wide, m_near, plain); };
    NodeLook nodes = make();
    MapFile::Wish wish;
    // Without metadata a look is a fifth faster; the few nodes that are kept are asked for theirs later. Of
    // several files the versions must be compared.
    wish.metadata = !source.data_until_from_header || m_files.size() > 1;
    gather<osmium::Node, NodeLook>(file, wish, nodes, make);
    take_nodes_into(source, nodes.count, nodes.seen, nodes.newest_s);
    ground.sources.push_back(source);
    ground.layers.absorb(nodes.layers);
    m_gathered.nodes.absorb(std::move(nodes.nodes));
    std::move(nodes.tagged.begin(), nodes.tagged.end(), std::back_inserter(m_gathered.tagged));
    m_boxes.push_back(std::move(nodes.boxes));
}

void Reading::look_at_ways(MapFile& file, WayLook& ways, Source& source) {
    const auto make = [&] { return WayLook(ways.known, ways.boxes, ways.corridor, ways.members); };
    WayLook of_file = make();
    gather<osmium::Way, WayLook>(file, {}, of_file, make);
    take_ways_into(source, of_file.count, of_file.newest_s);
    m_ways += of_file.count;
    ways.absorb(std::move(of_file));
}

std::unordered_set<std::int64_t> Reading::far_ways_that_matter(const WayLook& ways,
                                                               const KnownNodes& late) const {
    std::unordered_set<std::int64_t> matter;
    for (std::size_t i = 0; i < ways.far_ways.size(); ++i) {
        std::vector<geo::Position> line;
        for (std::size_t k = ways.far_starts[i]; k < ways.far_starts[i + 1]; ++k)
            if (const osmium::Location at = late.location(ways.far_refs[k]); at.valid())
                line.push_back({at.lon_without_check(), at.lat_without_check()});
        bool comes_near = false;
        for (std::size_t k = 0; k + 1 < line.size() && !comes_near; ++k)
            comes_near = m_near.touches(line[k], line[k + 1]);
        for (const auto& walk : m_corridor.lines)
            comes_near = comes_near || (!walk.empty() && line.size() > 2 && ring_holds(line, walk.front()));
        if (comes_near) matter.insert(ways.far_ways[i]);
    }
    return matter;
}

void Reading::look_at_late_nodes(WayLook& ways) {
    std::vector<std::int64_t> wanted = ways.far_refs;
    for (const osmium::Way& w : ways.ways.select<osmium::Way>())
        for (const osmium::NodeRef& ref : w.nodes())
            if (!m_gathered.nodes.has(ref.ref())) wanted.push_back(ref.ref());
    for (const Object& object : m_gathered.tagged)
        if (object.edited_s == 0) wanted.push_back(object.id.id);
    std::sort(wanted.begin(), wanted.end());
    wanted.erase(std::unique(wanted.begin(), wanted.end()), wanted.end());
    if (wanted.empty()) return;
    const auto make = [&] { return LateNodeLook(wanted); };
    LateNodeLook late = make();
    MapFile::Wish wish;
    wish.only = &wanted;
    for (const auto& file : m_files)
        gather<osmium::Node, LateNodeLook>(*file, wish, late, make);
    late.nodes.sort();
    std::sort(late.edited_s.begin(), late.edited_s.end());
    for (Object& object : m_gathered.tagged) {
        const auto at =
            std::lower_bound(late.edited_s.begin(), late.edited_s.end(), std::pair(object.id.id, INT64_MIN));
        if (object.edited_s == 0 && at != late.edited_s.end() && at->first == object.id.id)
            object.edited_s = at->second;
    }
    const auto matter = far_ways_that_matter(ways, late.nodes);
    m_gathered.nodes.absorb(std::move(late.nodes));
    m_gathered.nodes.sort();
    if (matter.empty()) return;
    MapFile::Wish for_ways;
    for_ways.type = osmium::item_type::way;
    for_ways.threads = 1;
    for (const auto& file : m_files)
        file->look(for_ways, [&](std::size_t, const osmium::memory::Buffer& buffer) {
            for (const osmium::Way& w : buffer.select<osmium::Way>())
                if (matter.count(w.id()) > 0) {
                    ways.ways.add_item(w);
                    ways.ways.commit();
                }
        });
}

Ground read_files(std::vector<std::unique_ptr<MapFile>> files, const Corridor& corridor,
                  const ReadOptions& options) {
    try {
        return Reading(files, corridor, options).run();
    } catch (const NotSorted&) {
        for (const auto& file : files)
            file->forget_order();
        return Reading(files, corridor, options).run();
    }
}

} // namespace

Ground read(std::span<const std::string> paths, const Corridor& corridor, const ReadOptions& options) {
    for (const std::string& path : paths) {
        if (!looks_prepared(path)) continue;
        if (paths.size() == 1) return read_prepared(path, corridor);
        throw ArgumentError(fmt::format("{}: is a prepared map, which stands alone; prepare all extracts "
                                        "together, or give the extracts with --map",
                                        path));
    }
    std::vector<std::unique_ptr<MapFile>> files;
    for (const std::string& path : paths)
        files.push_back(std::make_unique<MapFile>(path));
    if (files.empty()) throw ArgumentError("no map was given; name an extract with --map FILE");
    return read_files(std::move(files), corridor, options);
}

bool is_prepared(std::span<const std::string> paths) {
    return paths.size() == 1 && looks_prepared(paths.front());
}

Ground read_text(std::string_view bytes, const std::string& format, const Corridor& corridor) {
    std::vector<std::unique_ptr<MapFile>> files;
    files.push_back(
        std::make_unique<MapFile>(osmium::io::File(bytes.data(), bytes.size(), format), "(text)"));
    return read_files(std::move(files), corridor, {});
}

} // namespace waywarden::map

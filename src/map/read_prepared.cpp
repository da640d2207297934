#include "map/read_prepared.hpp"

#include "map/build_ground.hpp"
#include "map/interest.hpp"
#include "map/prepared_about.hpp"
#include "map/prepared_columns.hpp"
#include "map/prepared_file.hpp"
#include "map/prepared_objects.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::map {

namespace {

geo::Position position_of(osmium::Location location) {
    return {location.lon_without_check(), location.lat_without_check()};
}

class PreparedReading {
  public:
    PreparedReading(const PreparedFile& file, const Corridor& corridor)
        : m_file(file), m_corridor(corridor), m_near(corridor, corridor.reach_m),
          m_wide(corridor, std::max(corridor.around_m, corridor.reach_m)),
          m_near_boxes(boxes_around(corridor, corridor.reach_m)),
          m_wide_boxes(boxes_around(corridor, std::max(corridor.around_m, corridor.reach_m))),
          m_shares_boxes(boxes_around(corridor, corridor.shares_m)) {
        for (const auto& line : corridor.lines)
            if (!line.empty()) m_inside_tests.push_back({line.front(), spot_box(line.front())});
    }

    Ground run() {
        Ground ground;
        const PreparedAbout about = about_from(m_file.about());
        ground.sources = about.sources;
        for (Source& source : ground.sources)
            source.path = m_file.path();
        ground.layers = about.layers;
        m_gathered.located = true;
        look_at_nodes();
        look_at_ways(Layer::roads, m_wide_boxes, m_wide);
        look_at_ways(Layer::ways, m_near_boxes, m_near);
        for_each_in(Layer::relations, m_wide_boxes,
                    [this](CellKey cell, std::int64_t id, std::string_view bytes) {
                        take_relation(cell, id, bytes);
                    });
        for_each_in(Layer::tallies, m_shares_boxes,
                    [&](CellKey, std::int64_t id, std::string_view bytes) { take_tally(id, bytes, ground); });
        m_gathered.nodes.sort();
        build_ground(m_gathered, m_corridor, {m_near, m_wide}, ground);
        tell_if_cut_short(about.relations, about.ways, ground);
        return ground;
    }

  private:
    /// Calls `take(cell, columns)` for each part of the layer in which something can meet the boxes.
    template <class Take> void look(Layer layer, const std::vector<UnitBox>& boxes, Take&& take) {
        std::vector<CellKey> cells;
        for (const int level : m_file.levels_of(layer)) {
            const auto of_level = cells_that_meet(layer, level, boxes);
            cells.insert(cells.end(), of_level.begin(), of_level.end());
        }
        m_file.read(cells, [&](CellKey cell, std::string_view part) { take(cell, unpacked_part(part)); });
    }
    /// For the layers that are kept as records.
    template <class Take> void for_each_in(Layer layer, const std::vector<UnitBox>& boxes, Take&& take) {
        look(layer, boxes, [&](CellKey cell, const std::vector<std::string>& columns) {
            if (columns.size() != 1) throw Damaged("a part has too many columns");
            for_each_record(columns.front(),
                            [&](std::int64_t id, std::string_view bytes) { take(cell, id, bytes); });
        });
    }
    void look_at_nodes() {
        look(Layer::nodes, m_near_boxes, [this](CellKey, const std::vector<std::string>& columns) {
            std::int64_t id = 0;
            for (ColumnReader in(columns); !in.at_end();) {
                const PlainNode node = in.next_node(id);
                take_node(id, node);
            }
        });
    }
    void look_at_ways(Layer layer, const std::vector<UnitBox>& boxes, const CorridorNet& net) {
        look(layer, boxes, [&](CellKey, const std::vector<std::string>& columns) {
            for (ColumnReader in(columns); !in.at_end();) {
                in.next(m_way);
                take_way(net);
            }
        });
    }

    void take_node(std::int64_t id, const PlainNode& node);
    void take_way(const CorridorNet& net);
    void take_relation(CellKey cell, std::int64_t id, std::string_view bytes);
    void take_tally(std::int64_t id, std::string_view bytes, Ground& ground) const;
    bool passes_near(const PlainWay& way) const;
    bool holds_corridor(const PlainWay& way) const;
    bool is_sought_far(const PlainWay& way) const;
    static bool any_in(const CorridorNet& net, const PlainWay& way) {
        return std::any_of(way.places.begin(), way.places.end(),
                           [&](osmium::Location p) { return p.is_defined() && net.holds(position_of(p)); });
    }
    /// A place with a box of two units about it.
    struct InsideTest {
        geo::Position position;
        UnitBox box;
    };
    static UnitBox spot_box(geo::Position p) {
        const osmium::Location at(p.lon_deg, p.lat_deg);
        return {at.x() - 1, at.y() - 1, at.x() + 1, at.y() + 1};
    }
    void keep(const PlainWay& way) {
        add_to(m_gathered.ways, way);
        m_gathered.ways.commit();
    }

    const PreparedFile& m_file;
    const Corridor& m_corridor;
    const CorridorNet m_near, m_wide;
    const std::vector<UnitBox> m_near_boxes, m_wide_boxes, m_shares_boxes;
    std::vector<InsideTest> m_inside_tests;
    PlainWay m_way;
    Gathered m_gathered;
};

void PreparedReading::take_node(std::int64_t id, const PlainNode& node) {
    if (!m_near.holds(position_of(node.place))) return;
    m_gathered.nodes.add({id, node.place, 1, true});
    CodeReader tags(node.tags);
    m_gathered.tagged.push_back({{ObjectType::node, id}, read_tags(tags), node.edited_s});
}

bool PreparedReading::passes_near(const PlainWay& way) const {
    // Pieces shorter than the smallest cell of a net are told by their ends.
    constexpr std::int64_t k_short = 13'000; // units; 144 m
    osmium::Location last;
    for (const osmium::Location p : way.places) {
        if (!p.is_defined()) continue;
        const std::int64_t east = std::int64_t{p.x()} - last.x(), north = std::int64_t{p.y()} - last.y();
        if (last.is_defined() && std::max(std::abs(east), std::abs(north)) > k_short &&
            m_near.touches(position_of(last), position_of(p)))
            return true;
        last = p;
    }
    return false;
}

bool PreparedReading::holds_corridor(const PlainWay& way) const {
    const UnitBox box = way.box();
    if (std::none_of(m_inside_tests.begin(), m_inside_tests.end(),
                     [&](const InsideTest& test) { return box.meets(test.box); }))
        return false;
    std::vector<geo::Position> ring;
    for (const osmium::Location p : way.places)
        if (p.is_defined()) ring.push_back(position_of(p));
    return !ring.empty() &&
           std::any_of(m_inside_tests.begin(), m_inside_tests.end(),
                       [&](const InsideTest& test) { return ring_holds(ring, test.position); });
}

bool PreparedReading::is_sought_far(const PlainWay& way) const {
    // As in an extract, a building is looked for only where a node of it is near.
    if (way.is_member || way.has_deleted_node || any_in(m_wide, way)) return true;
    osmium::memory::Buffer buffer(1024, osmium::memory::Buffer::auto_grow::yes);
    add_to(buffer, way);
    buffer.commit();
    const osmium::TagList& tags = buffer.get<osmium::Way>(0).tags();
    return is_line_of_interest(tags) || can_hold_a_route(tags);
}

void PreparedReading::take_way(const CorridorNet& net) {
    const bool kept =
        any_in(net, m_way) || ((passes_near(m_way) || holds_corridor(m_way)) && is_sought_far(m_way));
    if (kept) keep(m_way);
}

void PreparedReading::take_relation(CellKey cell, std::int64_t id, std::string_view bytes) {
    CodeReader in(bytes);
    PlainRelation relation = read_relation_head(in);
    const auto& boxes = relation.whole ? m_near_boxes : m_wide_boxes;
    if (cell != cell_of_everywhere(Layer::relations) &&
        std::none_of(boxes.begin(), boxes.end(), [&](const UnitBox& box) { return box.meets(relation.box); }))
        return;
    read_relation_rest(in, relation);
    add_to(m_gathered.relations, id, relation);
    for (const PlainMember& member : relation.members) {
        if (member.bytes.empty()) continue;
        CodeReader way(member.bytes);
        m_way.id = member.way;
        read_way(way, m_way);
        keep(m_way);
    }
}

void PreparedReading::take_tally(std::int64_t id, std::string_view bytes, Ground& ground) const {
    const geo::Position middle = Tallies::middle_of(static_cast<std::uint64_t>(id));
    if (std::abs(middle.lon_deg) > 180 || std::abs(middle.lat_deg) > 90)
        throw Damaged("a sum of lengths is for a place off the globe");
    const auto x = static_cast<std::int32_t>(middle.lon_deg * 1e7);
    const auto y = static_cast<std::int32_t>(middle.lat_deg * 1e7);
    if (std::none_of(m_shares_boxes.begin(), m_shares_boxes.end(), [&](const UnitBox& box) {
            return box.meets({x - 1, y - 1, x + 1, y + 1});
        }))
        return;
    CodeReader in(bytes);
    ground.tallies.put(static_cast<std::uint64_t>(id), read_tally(in));
}

} // namespace

Ground read_prepared(const std::string& path, const Corridor& corridor) {
    const PreparedFile file(path);
    try {
        return PreparedReading(file, corridor).run();
    } catch (const Damaged& e) {
        file.refuse(e.what());
    }
}

} // namespace waywarden::map

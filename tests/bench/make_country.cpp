// Writes a made-up country as a sorted .osm.pbf with metadata: lanes, paths, streams, fields, houses, woods
// as multipolygons, a few very large areas. Deterministic. The defaults give 15 M nodes, 1.9 M ways, 145 km
// squared, about 53 MB. TIMES as large, it is as dense: ten times the ways on ten times the ground.
//
//     make_country OUT.osm.pbf [WAYS [TIMES]]
#include <osmium/builder/attr.hpp>
#include <osmium/builder/osm_object_builder.hpp>
#include <osmium/io/pbf_output.hpp>
#include <osmium/io/writer.hpp>

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <random>
#include <vector>

namespace {

using namespace osmium::builder::attr; // NOLINT: libosmium's own style for builders

constexpr double k_west_deg = 1.0, k_south_deg = 56.0;
constexpr std::int64_t k_stamp = 1780000000;

struct Plan {
    const char* key;
    const char* value;
    bool closed;
    int nodes;
};
// Shares of a rural extract, roughly: buildings and fields are most of it.
constexpr Plan k_plans[] = {{"building", "yes", true, 5},          {"building", "house", true, 6},
                            {"landuse", "farmland", true, 12},     {"landuse", "meadow", true, 11},
                            {"highway", "unclassified", false, 9}, {"highway", "footway", false, 8},
                            {"highway", "track", false, 9},        {"barrier", "hedge", false, 6},
                            {"waterway", "stream", false, 11},     {"highway", "residential", false, 7},
                            {"natural", "wood", true, 12},         {"highway", "service", false, 5}};

struct Shape {
    std::int64_t first_node;
    const Plan* plan;
    int nodes;
};

class Country {
  public:
    Country(std::int64_t ways, double times)
        : m_ways(static_cast<std::int64_t>(times * static_cast<double>(ways))),
          m_width_deg(2.33 * std::sqrt(times)), m_height_deg(1.304 * std::sqrt(times)) {}

    void write(const char* path) {
        osmium::io::Header header;
        header.set("generator", "make_country");
        header.set("sorting", "Type_then_ID");
        header.set("osmosis_replication_timestamp", "2026-11-01T00:00:00Z");
        header.add_box(
            osmium::Box{k_west_deg, k_south_deg, k_west_deg + m_width_deg, k_south_deg + m_height_deg});
        osmium::io::Writer writer(path, header, osmium::io::overwrite::allow);
        write_nodes(writer);
        write_ways(writer);
        write_relations(writer);
        writer.close();
        std::cout << m_next_node - 1 << " nodes, " << m_shapes.size() << " ways\n";
    }

  private:
    template <class F> void filled(osmium::io::Writer& writer, F&& add) {
        if (m_buffer.committed() > 900'000) {
            writer(std::move(m_buffer));
            m_buffer = osmium::memory::Buffer(1 << 20, osmium::memory::Buffer::auto_grow::yes);
        }
        add(m_buffer);
    }

    void node(osmium::io::Writer& writer, double lon, double lat) {
        filled(writer, [&](osmium::memory::Buffer& buffer) {
            osmium::builder::add_node(buffer, _id(m_next_node), _version(1),
                                      _timestamp(osmium::Timestamp(static_cast<std::uint32_t>(k_stamp))),
                                      _cid(1), _uid(1), _user("maker"),
                                      _location(osmium::Location(lon, lat)));
        });
        ++m_next_node;
    }

    void write_nodes(osmium::io::Writer& writer) {
        // Ways lie in tiles, row after row, so that ids that are near lie near.
        const auto tiles = static_cast<std::int64_t>(std::sqrt(static_cast<double>(m_ways) / 40));
        for (std::int64_t tile = 0; tile < tiles * tiles; ++tile) {
            const double west =
                k_west_deg + m_width_deg * static_cast<double>(tile % tiles) / static_cast<double>(tiles);
            const double south =
                k_south_deg + m_height_deg * static_cast<double>(tile / tiles) / static_cast<double>(tiles);
            for (int i = 0; i < 40; ++i) {
                const Plan& plan = k_plans[m_random() % std::size(k_plans)];
                double lon = west + m_width_deg / static_cast<double>(tiles) *
                                        static_cast<double>(m_random() % 64) / 64;
                double lat = south + m_height_deg / static_cast<double>(tiles) *
                                         static_cast<double>(m_random() % 64) / 64;
                const bool large = tile % 997 == 0 &&
                                   i == 0; // an area of 12 km across, none of whose nodes is near its middle
                const int nodes = plan.closed ? plan.nodes - 1 : plan.nodes;
                m_shapes.push_back({m_next_node, &plan, nodes});
                for (int k = 0; k < nodes; ++k) {
                    node(writer, lon, lat);
                    const double step = large ? 0.05 : 0.0002;
                    lon += step * (static_cast<double>(m_random() % 24) / 12 - 0.9);
                    lat += step * (static_cast<double>(m_random() % 24) / 12 - 0.9);
                }
            }
        }
        writer(std::move(m_buffer));
        m_buffer = osmium::memory::Buffer(1 << 20, osmium::memory::Buffer::auto_grow::yes);
    }

    void write_ways(osmium::io::Writer& writer) {
        std::int64_t id = 1;
        for (const Shape& shape : m_shapes) {
            std::vector<osmium::NodeRef> refs;
            for (int k = 0; k < shape.nodes; ++k)
                refs.emplace_back(shape.first_node + k);
            if (shape.plan->closed) refs.push_back(refs.front());
            filled(writer, [&](osmium::memory::Buffer& buffer) {
                osmium::builder::add_way(buffer, _id(id), _version(1),
                                         _timestamp(osmium::Timestamp(static_cast<std::uint32_t>(k_stamp))),
                                         _cid(1), _uid(1), _user("maker"),
                                         _tag(shape.plan->key, shape.plan->value), _nodes(refs));
            });
            ++id;
        }
        writer(std::move(m_buffer));
        m_buffer = osmium::memory::Buffer(1 << 20, osmium::memory::Buffer::auto_grow::yes);
    }

    void write_relations(osmium::io::Writer& writer) {
        std::int64_t id = 1;
        for (std::size_t way = 0; way < m_shapes.size(); way += 400) {
            if (!m_shapes[way].plan->closed) continue;
            filled(writer, [&](osmium::memory::Buffer& buffer) {
                osmium::builder::add_relation(
                    buffer, _id(id), _version(1),
                    _timestamp(osmium::Timestamp(static_cast<std::uint32_t>(k_stamp))), _cid(1), _uid(1),
                    _user("maker"), _tag("type", "multipolygon"), _tag("natural", "wood"),
                    _member(osmium::item_type::way, static_cast<std::int64_t>(way) + 1, "outer"));
            });
            ++id;
        }
        writer(std::move(m_buffer));
    }

    std::int64_t m_ways;
    double m_width_deg, m_height_deg; ///< 145 km squared, and as many times that as was asked for
    std::int64_t m_next_node = 1;
    std::vector<Shape> m_shapes;
    std::mt19937 m_random{20261125};
    osmium::memory::Buffer m_buffer{1 << 20, osmium::memory::Buffer::auto_grow::yes};
};

} // namespace

int main(int argc, char** argv) {
    if (argc < 2) {
        std::cerr << "make_country OUT.osm.pbf [WAYS [TIMES]]\n";
        return 2;
    }
    Country(argc > 2 ? std::atoll(argv[2]) : 1'900'000, argc > 3 ? std::atof(argv[3]) : 1).write(argv[1]);
}

#include "map/prepared_columns.hpp"

#include <unordered_map>

namespace waywarden::map {

namespace {

// Ids: of the records. Shapes: how many nodes, and flags. Sets: which list of tags. Tags: each different list
// once. Nodes: their ids. Starts: first places. High and low: differences of places and times, whose low
// bytes are noise that is best left alone.
constexpr std::size_t k_columns = 8;
// What has hardly any repeats is smaller, too, when none are sought; measured on made and real maps.
constexpr std::array<int, k_columns> k_efforts{1, 6, 1, 6, 6, 12, 1, 6};
constexpr int k_effort_of_records = 12;
constexpr std::uint64_t k_member = 1, k_deleted_node = 2, k_lacks_nodes = 4, k_closed = 8; // flags of a way
constexpr unsigned k_flag_bits = 4;
constexpr std::size_t k_largest_column = std::size_t{1} << 30;

class ColumnWriter {
  public:
    void add(const PlainWay& way) {
        m_ids.difference(step(m_last_id, way.id));
        m_last_id = way.id;
        const bool whole = way.whole(), closed = way.closed();
        const std::uint64_t flags = (way.is_member ? k_member : 0) |
                                    (way.has_deleted_node ? k_deleted_node : 0) |
                                    (whole ? 0 : k_lacks_nodes) | (closed ? k_closed : 0);
        m_shapes.number(way.nodes.size() << k_flag_bits | flags);
        tags(way.tags);
        time(way.edited_s);
        // What closes a ring is as at its beginning.
        const std::size_t count = way.nodes.size() - (closed ? 1 : 0);
        bool first = true;
        for (std::size_t i = 0; i < count; ++i) {
            m_nodes.difference(step(m_last_node, way.nodes[i]));
            m_last_node = way.nodes[i];
            const osmium::Location p = way.places[i];
            if (!whole) m_shapes.number(p.is_defined() ? 1 : 0);
            if (!p.is_defined()) continue;
            if (first)
                start(p);
            else
                place(p);
            first = false;
        }
    }
    void add(std::int64_t id, const PlainNode& node) {
        m_ids.difference(step(m_last_id, id));
        m_last_id = id;
        tags(node.tags);
        time(node.edited_s);
        start(node.place);
    }
    const std::array<std::string, k_columns>& columns() const { return m_columns; }

  private:
    void tags(std::string_view set) {
        const auto [known, added] = m_known_sets.emplace(set, m_known_sets.size());
        m_set_numbers.number(known->second);
        if (added) m_sets.text(set);
    }
    /// Split so that the high part is a byte for most differences.
    void split(std::int64_t difference, unsigned low_bytes) {
        std::uint64_t folded =
            static_cast<std::uint64_t>(difference) << 1 ^ static_cast<std::uint64_t>(difference >> 63);
        for (unsigned i = 0; i < low_bytes; ++i, folded >>= 8)
            m_columns[7].push_back(static_cast<char>(folded));
        m_high.number(folded);
    }
    void time(std::int64_t seconds) {
        split(step(m_last_time, seconds), 3);
        m_last_time = seconds;
    }
    void start(osmium::Location p) {
        m_starts.difference(p.x() - m_start_x);
        m_starts.difference(p.y() - m_start_y);
        m_x = m_start_x = p.x(), m_y = m_start_y = p.y();
    }
    void place(osmium::Location p) {
        split(p.x() - m_x, 1);
        split(p.y() - m_y, 1);
        m_x = p.x(), m_y = p.y();
    }
    std::array<std::string, k_columns> m_columns;
    CodeWriter m_ids{m_columns[0]}, m_shapes{m_columns[1]}, m_set_numbers{m_columns[2]}, m_sets{m_columns[3]},
        m_nodes{m_columns[4]}, m_starts{m_columns[5]}, m_high{m_columns[6]};
    std::unordered_map<std::string, std::size_t> m_known_sets;
    std::int64_t m_last_id = 0, m_last_node = 0, m_last_time = 0, m_x = 0, m_y = 0;
    std::int64_t m_start_x = 0, m_start_y = 0;
};

/// A column that does not shrink is kept as it is.
void pack(std::string_view column, int effort, std::string& lengths, std::string& bytes) {
    std::string frame = compressed(column, effort);
    const bool shrinks = frame.size() + frame.size() / 16 < column.size();
    if (!shrinks) frame = column;
    CodeWriter(lengths).number(frame.size() << 1 | (shrinks ? 1 : 0));
    bytes += frame;
}

template <unsigned low_bytes> std::int64_t joined(CodeReader& high, CodeReader& low) {
    std::uint64_t folded = high.number() << (8 * low_bytes);
    const std::string_view bytes = low.bytes(low_bytes);
    for (unsigned i = 0; i < low_bytes; ++i)
        folded |= static_cast<std::uint64_t>(static_cast<std::uint8_t>(bytes[i])) << (8 * i);
    return static_cast<std::int64_t>(folded >> 1) ^ -static_cast<std::int64_t>(folded & 1);
}

} // namespace

std::string packed_part(Layer layer, std::string_view records) {
    std::string lengths, bytes;
    if (layer == Layer::relations || layer == Layer::tallies) {
        CodeWriter(lengths).number(1);
        pack(records, k_effort_of_records, lengths, bytes);
        return lengths + bytes;
    }
    ColumnWriter writer;
    PlainWay way;
    for_each_record(records, [&](std::int64_t id, std::string_view record) {
        CodeReader in(record);
        if (layer == Layer::nodes) return writer.add(id, read_node(in));
        way.id = id;
        read_way(in, way);
        writer.add(way);
    });
    CodeWriter(lengths).number(k_columns);
    for (std::size_t i = 0; i < k_columns; ++i)
        pack(writer.columns()[i], k_efforts[i], lengths, bytes);
    return lengths + bytes;
}

std::vector<std::string> unpacked_part(std::string_view part) {
    CodeReader in(part);
    std::vector<std::uint64_t> lengths(in.count());
    for (std::uint64_t& length : lengths)
        length = in.number();
    std::vector<std::string> columns;
    for (const std::uint64_t length : lengths) {
        const std::string_view bytes = in.bytes(length >> 1);
        columns.push_back(length & 1 ? inflated(bytes, k_largest_column) : std::string(bytes));
    }
    if (!in.at_end()) throw Damaged("a part is longer than its columns");
    return columns;
}

ColumnReader::ColumnReader(const std::vector<std::string>& columns)
    : m_ids({}), m_shapes({}), m_set_numbers({}), m_sets({}), m_nodes({}), m_starts({}), m_high({}),
      m_low({}) {
    if (columns.size() != k_columns) throw Damaged("a part has too few columns");
    std::size_t column = 0;
    for (CodeReader* in : {&m_ids, &m_shapes, &m_set_numbers, &m_sets, &m_nodes, &m_starts, &m_high, &m_low})
        *in = CodeReader(columns[column++]);
}

std::string_view ColumnReader::tags() {
    const std::uint64_t set = m_set_numbers.number();
    if (set == m_known_sets.size()) m_known_sets.push_back(m_sets.text());
    if (set >= m_known_sets.size()) throw Damaged("a list of tags is not there");
    return m_known_sets[static_cast<std::size_t>(set)];
}

std::int64_t ColumnReader::time() {
    m_last_time = after(m_last_time, joined<3>(m_high, m_low));
    return time_of_edit(m_last_time);
}

osmium::Location ColumnReader::start() {
    m_x = m_start_x = after(m_start_x, m_starts.difference());
    m_y = m_start_y = after(m_start_y, m_starts.difference());
    return location_of(m_x, m_y);
}

osmium::Location ColumnReader::place() {
    m_x = after(m_x, joined<1>(m_high, m_low));
    m_y = after(m_y, joined<1>(m_high, m_low));
    return location_of(m_x, m_y);
}

void ColumnReader::next(PlainWay& way) {
    way.id = m_last_id = after(m_last_id, m_ids.difference());
    const std::uint64_t head = m_shapes.number();
    way.is_member = head & k_member;
    way.has_deleted_node = head & k_deleted_node;
    way.tags = tags();
    way.edited_s = time();
    const bool closed = head & k_closed, lacks_nodes = head & k_lacks_nodes;
    const std::uint64_t all = head >> k_flag_bits, coded = all - (closed ? 1 : 0);
    if ((closed && all < 2) || coded > m_nodes.left()) throw Damaged("a way has more nodes than there are");
    way.nodes.resize(static_cast<std::size_t>(all));
    way.places.resize(way.nodes.size());
    bool first = true;
    for (std::size_t i = 0; i < coded; ++i) {
        way.nodes[i] = m_last_node = after(m_last_node, m_nodes.difference());
        const bool lacks = lacks_nodes && m_shapes.number() == 0;
        way.places[i] = lacks ? osmium::Location{} : first ? start() : place();
        first = first && lacks;
    }
    if (!closed) return;
    way.nodes.back() = way.nodes.front();
    way.places.back() = way.places.front();
}

PlainNode ColumnReader::next_node(std::int64_t& id) {
    id = m_last_id = after(m_last_id, m_ids.difference());
    PlainNode node;
    node.tags = tags();
    node.edited_s = time();
    node.place = start();
    return node;
}

} // namespace waywarden::map

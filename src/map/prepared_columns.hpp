#pragma once

#include "map/prepared_cells.hpp"
#include "map/prepared_objects.hpp"

#include <array>
#include <string>
#include <string_view>
#include <vector>

/// The parts of a prepared map as they stand in the file: like with like in columns, which compress better
/// and are quicker to read than records one after the other.
namespace waywarden::map {

/// A part out of its records (`for_each_record`).
std::string packed_part(Layer layer, std::string_view records);

/// The columns of a part. Throws Damaged.
std::vector<std::string> unpacked_part(std::string_view part);

/// Reads the ways of a part of the layers `roads` and `ways`, or the nodes of one of `nodes`, in the order of
/// their ids. Throws Damaged. The tags are good as long as the columns are there.
class ColumnReader {
  public:
    explicit ColumnReader(const std::vector<std::string>& columns);
    bool at_end() const { return m_ids.at_end(); }
    void next(PlainWay& way);
    PlainNode next_node(std::int64_t& id);

  private:
    std::string_view tags();
    std::int64_t time();
    osmium::Location start();
    osmium::Location place();
    CodeReader m_ids, m_shapes, m_set_numbers, m_sets, m_nodes, m_starts, m_high, m_low;
    std::vector<std::string_view> m_known_sets;
    std::int64_t m_last_id = 0, m_last_node = 0, m_last_time = 0, m_x = 0, m_y = 0, m_start_x = 0,
                 m_start_y = 0;
};

} // namespace waywarden::map

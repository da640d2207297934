// Prepared maps. The first byte chooses: the rest is a file, or it changes the parts of a small good one,
// which is then written anew with right checksums, so that what stands behind them is reached too.
#include "fuzz/fuzz.hpp"
#include "map/prepare.hpp"
#include "map/prepared_code.hpp"
#include "map/prepared_file.hpp"
#include "map/prepared_layout.hpp"
#include "map/read.hpp"

#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <iterator>

namespace waywarden::fuzz {

namespace {

constexpr std::string_view k_map =
    "n1 v1 dV t2026-05-01T00:00:00Z x3.0 y56.0\n"
    "n2 v1 dV t2026-05-01T00:00:00Z Tbarrier=gate x3.01 y56.005\n"
    "n3 v1 dV t2026-05-01T00:00:00Z x3.02 y56.01\n"
    "n4 v1 dV t2026-05-01T00:00:00Z x3.0 y56.01\n"
    "n5 v1 dV t2026-05-01T00:00:00Z Tford=yes x3.005 y56.002\n"
    "w1 v1 dV t2026-05-01T00:00:00Z Thighway=path,surface=grass Nn1,n5,n2,n3\n"
    "w2 v1 dV t2026-05-01T00:00:00Z Tnatural=water Nn1,n2,n4,n1\n"
    "w3 v1 dV t2026-05-01T00:00:00Z Thighway=tertiary,maxspeed=60 Nn4,n2,n9\n"
    "w4 v1 dV t2026-05-01T00:00:00Z T Nn2,n3,n4,n2\n"
    "r1 v1 dV t2026-05-01T00:00:00Z Ttype=multipolygon,natural=scree Mw4@outer\n"
    "r2 v1 dV t2026-05-01T00:00:00Z Ttype=route,route=hiking Mw1@,w8@\n";
const map::Corridor k_corridor{{{{3.00, 56.00}, {3.02, 56.01}}}};

struct Good {
    std::string about;
    std::vector<std::pair<map::CellKey, std::string>> parts; ///< by cell
};

Good read_good() {
    const std::string prepared = file_with("", ".prepared-good");
    ::unlink(prepared.c_str());
    map::prepare(std::vector{file_with(k_map, ".opl")}, prepared, {});
    const map::PreparedFile file(prepared);
    Good good{file.about(), {}};
    for (const map::Layer layer :
         {map::Layer::nodes, map::Layer::roads, map::Layer::ways, map::Layer::relations, map::Layer::tallies})
        for (const int level : file.levels_of(layer)) {
            const auto boxes = map::boxes_around(k_corridor, 20000);
            file.read(map::cells_that_meet(layer, level, boxes),
                      [&](map::CellKey cell, std::string_view part) { good.parts.emplace_back(cell, part); });
        }
    std::sort(good.parts.begin(), good.parts.end());
    must(good.parts.size() >= 4, "the good map has too few parts");
    ::unlink(prepared.c_str());
    return good;
}

unsigned at(std::string_view step, std::size_t i) {
    return static_cast<unsigned char>(step[i]);
}

/// Four bytes a change: where (two), what to do, with which value.
void change(std::string& part, std::string_view step) {
    const std::size_t place = (at(step, 0) * 256 + at(step, 1)) % (part.size() + 1);
    const auto value = static_cast<char>(at(step, 3));
    switch (at(step, 2) % 5) {
    case 0:
        part.replace(place, 1, 1, value);
        break;
    case 1:
        part.insert(place, 1, value);
        break;
    case 2:
        part.erase(place, at(step, 3) % 8);
        break;
    case 3:
        part.insert(place, std::string(at(step, 3) % 9, '\xFF') + '\x01');
        break;
    default:
        part.insert(place, part.substr(place, at(step, 3)));
    }
}

/// Changes the head of a whole file: the list of its pages.
void change_head(std::string& file, std::string_view step) {
    const std::size_t end = file.size() - map::k_prepared_tail_size;
    const std::string of_tail = file.substr(end);
    const std::uint32_t size = map::CodeReader(std::string_view(of_tail).substr(8)).fixed32();
    std::string head = file.substr(end - size, size);
    change(head, step);
    std::string tail = of_tail.substr(0, 8);
    map::CodeWriter out(tail);
    out.fixed32(static_cast<std::uint32_t>(head.size()));
    out.fixed32(map::checksum(head));
    out.fixed32(map::checksum(tail));
    file = file.substr(0, end - size) + head + tail + std::string(map::k_prepared_end_mark);
}

/// Five bytes a change, of which the first says which part, or the head. Writes the changed map; gives its
/// path.
std::string changed(std::string_view steps) {
    static const Good good = read_good();
    Good map = good;
    std::vector<std::string_view> of_head;
    for (; steps.size() >= 5; steps.remove_prefix(5)) {
        const std::size_t which = at(steps, 0) % (map.parts.size() + 2);
        const std::string_view step = steps.substr(1, 4);
        if (which < map.parts.size()) change(map.parts[which].second, step);
        if (which == map.parts.size()) change(map.about, step);
        if (which > map.parts.size()) of_head.push_back(step);
    }
    const std::string path = file_with("", ".prepared");
    ::unlink(path.c_str());
    map::PreparedWriter out(path);
    for (const auto& [cell, part] : map.parts)
        out.add(cell, part);
    out.finish(map.about);
    if (of_head.empty()) return path;
    std::ifstream in(path, std::ios::binary);
    std::string file((std::istreambuf_iterator<char>(in)), {});
    for (const std::string_view step : of_head)
        change_head(file, step);
    return file_with(file, ".prepared");
}

} // namespace

void target(std::string_view bytes) {
    if (bytes.empty()) return;
    const bool whole = bytes.front() % 4 == 0;
    bytes.remove_prefix(1);
    const std::string path = whole ? file_with(bytes, ".prepared") : changed(bytes.substr(0, 400));
    const map::Ground ground = map::read(std::vector{path}, k_corridor);
    for (const auto* ways : {&ground.ways, &ground.around})
        for (const map::Way& way : *ways) {
            must(way.nodes.size() >= 2, "a way of fewer than two nodes");
            for (const map::NodeIndex node : way.nodes)
                must(node < ground.nodes.size(), "a way through a node that is not there");
        }
    if (!whole && bytes.size() < 5) must(!ground.ways.empty(), "the good map has lost its ways");
}

} // namespace waywarden::fuzz

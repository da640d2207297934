#include "map/prepare.hpp"

#include "error.hpp"
#include "map/prepare_nodes.hpp"
#include "map/prepare_relations.hpp"
#include "map/prepare_ways.hpp"
#include "map/prepared_about.hpp"
#include "map/prepared_columns.hpp"
#include "map/prepared_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <future>

namespace waywarden::map {

namespace {

namespace fs = std::filesystem;

/// Writes parts as records come in order, compressing some at a time on all threads.
class PartWriter {
  public:
    PartWriter(PreparedWriter& file, int threads) : m_file(file), m_threads(std::max(1, threads)) {}

    void take(CellKey cell, std::int64_t id, std::string_view bytes) {
        if (m_parts.empty() || m_parts.back().cell != cell) {
            end_part();
            m_parts.push_back({cell, {}, 0, {}});
        }
        // Two files may hold the very same object. What was counted on several threads is added up.
        const bool again = m_waiting_record && m_id == id;
        if (again && static_cast<Layer>(cell >> 56) == Layer::tallies) m_bytes = sum_of(m_bytes, bytes);
        if (again) return;
        put_waiting();
        m_waiting_record = true;
        m_id = id;
        m_bytes = bytes;
    }
    void finish() {
        end_part();
        flush();
    }
    std::uint64_t records() const { return m_records; }

  private:
    static constexpr std::size_t k_at_once = 4 << 20;
    struct Part {
        CellKey cell;
        std::string records;
        std::int64_t last_id;
        std::string packed;
    };
    static std::string sum_of(std::string_view a, std::string_view b) {
        CodeReader in_a(a), in_b(b);
        TaggedLength sum = read_tally(in_a);
        sum.add(read_tally(in_b));
        std::string bytes;
        write_tally(sum, bytes);
        return bytes;
    }
    void put_waiting() {
        if (!m_waiting_record) return;
        put_record(m_parts.back().records, m_parts.back().last_id, m_id, m_bytes);
        m_waiting_record = false;
        ++m_records;
    }
    void end_part() {
        put_waiting();
        if (m_parts.empty()) return;
        m_waiting += m_parts.back().records.size();
        if (m_waiting > k_at_once) flush();
    }
    void flush() {
        const auto share = [this](std::size_t thread) {
            for (std::size_t i = thread; i < m_parts.size(); i += static_cast<std::size_t>(m_threads)) {
                Part& part = m_parts[i];
                part.packed = packed_part(static_cast<Layer>(part.cell >> 56), part.records);
            }
        };
        std::vector<std::future<void>> others;
        for (std::size_t i = 1; i < static_cast<std::size_t>(m_threads); ++i)
            others.push_back(std::async(std::launch::async, share, i));
        share(0);
        for (auto& other : others)
            other.get();
        for (const Part& part : m_parts)
            m_file.add(part.cell, part.packed);
        m_parts.clear();
        m_waiting = 0;
    }
    PreparedWriter& m_file;
    int m_threads;
    std::vector<Part> m_parts;
    std::size_t m_waiting = 0; ///< bytes in m_parts
    bool m_waiting_record = false;
    std::int64_t m_id = 0; ///< of the record that waits for others like it
    std::string m_bytes;
    std::uint64_t m_records = 0;
};

class Preparing {
  public:
    Preparing(std::vector<std::unique_ptr<MapFile>>& files, const std::string& out,
              const PrepareOptions& options)
        : m_files(files), m_options(options), m_file(out),
          m_folder(fs::absolute(fs::path(out)).parent_path().string()),
          m_all_sorted(files.size() == 1 && files.front()->sorted()) {
        const auto threads = static_cast<std::size_t>(std::max(1, options.threads));
        for (std::size_t i = 0; i < threads; ++i) {
            m_records.emplace_back(share_of_memory(0.45) / threads, m_folder);
            m_members.emplace_back(share_of_memory(0.1) / threads, m_folder);
        }
    }

    Prepared run() {
        look_at_relations();
        look_at_nodes();
        look_at_ways();
        m_relations.write(m_members, m_records.front());
        PartWriter parts(m_file, m_options.threads);
        RecordSorter::merge(m_records, [&](CellKey cell, std::int64_t id, std::string_view bytes) {
            parts.take(cell, id, bytes);
        });
        parts.finish();
        m_about.relations = m_done.relations = m_relations.count();
        m_about.ways = m_done.ways;
        m_file.finish(to_code(m_about));
        m_done.kept = parts.records();
        m_done.bytes = m_file.size();
        return m_done;
    }

  private:
    /// Of what is left when the program, its buffers for decoding and the compressing have had theirs.
    std::size_t share_of_memory(double share) const {
        constexpr std::size_t k_base = std::size_t{80} << 20, k_least = std::size_t{48} << 20;
        const std::size_t all = std::max(m_options.memory_bytes, k_base + k_least) - k_base;
        return static_cast<std::size_t>(static_cast<double>(all) * share);
    }
    MapFile::Wish wish_of(osmium::item_type type, const char* what) const {
        MapFile::Wish wish;
        wish.type = type;
        wish.threads = std::max(1, m_options.threads);
        if (m_options.progress)
            wish.progress = [this, what](double share) { m_options.progress(what, share); };
        return wish;
    }
    void look_at_relations();
    void look_at_nodes();
    void look_at_ways();

    std::vector<std::unique_ptr<MapFile>>& m_files;
    const PrepareOptions& m_options;
    PreparedWriter m_file;
    const std::string m_folder;
    const bool m_all_sorted; ///< one file, in order, with one version of each object
    RelationBook m_relations;
    PlaceBook m_places;
    std::vector<RecordSorter> m_records, m_members; ///< one a thread
    PreparedAbout m_about;
    Prepared m_done;
};

void Preparing::look_at_relations() {
    for (const auto& file : m_files) {
        const MapFile::Wish wish = wish_of(osmium::item_type::relation, "relations");
        std::vector<RelationLook> looks(static_cast<std::size_t>(wish.threads));
        file->look(wish, [&](std::size_t part, const osmium::memory::Buffer& buffer) {
            for (const osmium::Relation& relation : buffer.select<osmium::Relation>())
                looks[part].take(relation);
        });
        for (RelationLook& look : looks)
            m_relations.add(std::move(look));
    }
    m_relations.close();
}

void Preparing::look_at_nodes() {
    const auto threads = static_cast<std::size_t>(std::max(1, m_options.threads));
    const std::size_t memory = share_of_memory(0.4) / threads / m_files.size();
    std::vector<Object> tagged; // where versions must be compared
    for (const auto& file : m_files) {
        std::vector<PlacingLook> looks;
        for (std::size_t i = 0; i < threads; ++i)
            looks.emplace_back(memory, m_folder, m_all_sorted ? &m_records[i] : nullptr);
        file->look(wish_of(osmium::item_type::node, "nodes"),
                   [&](std::size_t part, const osmium::memory::Buffer& buffer) {
                       for (const osmium::Node& node : buffer.select<osmium::Node>())
                           looks[part].take(node);
                   });
        Source source = source_of(*file);
        finish_source(looks, source);
        m_about.sources.push_back(source);
        for (PlacingLook& look : looks) {
            m_done.nodes += look.count;
            m_about.layers.absorb(look.layers);
            std::move(look.tagged.begin(), look.tagged.end(), std::back_inserter(tagged));
        }
        m_places.add(places_of(std::move(looks)));
    }
    add_newest(std::move(tagged), m_places, m_records.front());
}

void Preparing::look_at_ways() {
    WayChoice choice;
    if (!m_all_sorted)
        for (std::size_t i = 0; i < m_files.size(); ++i) {
            MapFile::Wish wish = wish_of(osmium::item_type::way, "ways");
            wish.threads = 1;
            m_files[i]->look(wish, [&](std::size_t, const osmium::memory::Buffer& buffer) {
                for (const osmium::Way& way : buffer.select<osmium::Way>())
                    choice.add(way, i, !m_relations.memberships_of(way.id()).empty());
            });
        }
    choice.close();
    for (std::size_t i = 0; i < m_files.size(); ++i) {
        const MapFile::Wish wish = wish_of(osmium::item_type::way, "ways");
        std::vector<PreparingWays> looks;
        for (std::size_t part = 0; part < static_cast<std::size_t>(wish.threads); ++part)
            looks.emplace_back(m_places, m_relations, choice, i, m_records[part], m_members[part]);
        m_files[i]->look(wish, [&](std::size_t part, const osmium::memory::Buffer& buffer) {
            for (const osmium::Way& way : buffer.select<osmium::Way>())
                looks[part].take(way);
        });
        std::uint64_t count = 0;
        std::int64_t newest_s = 0;
        for (PreparingWays& look : looks) {
            look.flush();
            m_about.layers.absorb(look.layers);
            count += look.count;
            newest_s = std::max(newest_s, look.newest_s);
        }
        take_ways_into(m_about.sources[i], count, newest_s);
        m_done.ways += count;
    }
}

} // namespace

Prepared prepare(std::span<const std::string> paths, const std::string& out, const PrepareOptions& options) {
    std::vector<std::unique_ptr<MapFile>> files;
    for (const std::string& path : paths) {
        if (looks_prepared(path))
            throw ArgumentError(
                fmt::format("{}: is a prepared map already; name the extract that it was made from", path));
        files.push_back(std::make_unique<MapFile>(path));
    }
    if (files.empty()) throw ArgumentError("no extract was named");
    try {
        return Preparing(files, out, options).run();
    } catch (const NotSorted&) {
        for (const auto& file : files)
            file->forget_order();
        return Preparing(files, out, options).run();
    }
}

} // namespace waywarden::map

#include "map/record_sorter.hpp"

#include "map/prepared_code.hpp"

#include <algorithm>
#include <cstring>
#include <queue>
#include <tuple>

namespace waywarden::map {

namespace {

constexpr std::size_t k_least_read = std::size_t{64} << 10; ///< of a run at once

} // namespace

/// Writes records that come in order as a run.
class RecordSorter::RunWriter {
  public:
    explicit RunWriter(SpillFile& file) : m_file(file), m_begin(file.size()) {}
    void put(std::uint64_t cell, std::int64_t id, std::string_view bytes) {
        CodeWriter out(m_waiting);
        out.number(cell);
        out.difference(id);
        out.text(bytes);
        if (m_waiting.size() < k_chunk) return;
        m_file.append(m_waiting);
        m_waiting.clear();
    }
    Run finish() {
        m_file.append(m_waiting);
        return {m_begin, m_file.size()};
    }

  private:
    SpillFile& m_file;
    std::uint64_t m_begin;
    std::string m_waiting;
};

RecordSorter::RecordSorter(std::size_t memory_bytes, const std::string& folder)
    : m_memory(std::max(memory_bytes, 4 * k_chunk)), m_spill(folder) {
    // A third for the items: records are of some 50 bytes. Memory counts once it is used.
    m_items.reserve(m_memory / 3 / sizeof(Item));
}

char* RecordSorter::room_for(std::size_t size) {
    if (size > m_chunk_left) {
        m_chunk_left = std::max(size, k_chunk);
        m_chunks.push_back(std::make_unique_for_overwrite<char[]>(m_chunk_left));
        m_held += m_chunk_left;
    }
    // Chunks are filled from their end.
    m_chunk_left -= size;
    return m_chunks.back().get() + m_chunk_left;
}

void RecordSorter::add(std::uint64_t cell, std::int64_t id, std::string_view bytes) {
    const bool full = m_items.size() == m_items.capacity() || m_held + k_chunk > m_memory / 3 * 2;
    if (full && (m_items.size() == m_items.capacity() || bytes.size() > m_chunk_left)) spill();
    char* at = room_for(bytes.size());
    std::memcpy(at, bytes.data(), bytes.size());
    m_items.push_back({cell, id, at, static_cast<std::uint32_t>(bytes.size())});
}

void RecordSorter::sort() {
    std::sort(m_items.begin(), m_items.end(),
              [](const Item& a, const Item& b) { return std::tie(a.cell, a.id) < std::tie(b.cell, b.id); });
}

void RecordSorter::spill() {
    if (m_items.empty()) return;
    sort();
    RunWriter run(m_spill);
    for (const Item& item : m_items)
        run.put(item.cell, item.id, {item.at, item.size});
    m_runs.push_back(run.finish());
    m_items.clear();
    m_chunks.clear();
    m_chunk_left = m_held = 0;
}

class RecordSorter::Stream {
  public:
    Stream() = default;
    Stream(const Stream&) = delete;
    Stream& operator=(const Stream&) = delete;
    virtual ~Stream() = default;
    virtual bool next() = 0; ///< false at the end
    std::uint64_t cell = 0;
    std::int64_t id = 0;
    std::string_view bytes; ///< until the next call
};

class RecordSorter::MemoryStream : public Stream {
  public:
    explicit MemoryStream(const std::vector<Item>& items) : m_at(items.begin()), m_end(items.end()) {}
    bool next() override {
        if (m_at == m_end) return false;
        cell = m_at->cell, id = m_at->id, bytes = {m_at->at, m_at->size};
        ++m_at;
        return true;
    }

  private:
    std::vector<Item>::const_iterator m_at, m_end;
};

class RecordSorter::RunStream : public Stream {
  public:
    RunStream(const SpillFile& file, Run run, std::size_t at_once)
        : m_file(file), m_run(run), m_at_once(at_once) {}
    bool next() override {
        if (m_in.at_end() && m_run.begin == m_run.end) return false;
        for (std::size_t wanted = m_at_once;; wanted *= 2) {
            const CodeReader before = m_in;
            try {
                cell = m_in.number();
                id = m_in.difference();
                bytes = m_in.text();
                return true;
            } catch (const Damaged&) { // the record goes on past what was read
                if (m_run.begin == m_run.end) throw;
                m_in = before;
                read_on(wanted);
            }
        }
    }

  private:
    void read_on(std::size_t wanted) {
        std::string more;
        m_file.read(m_run.begin, std::min<std::uint64_t>(wanted, m_run.end - m_run.begin), more);
        m_run.begin += more.size();
        m_held.erase(0, m_held.size() - m_in.left());
        m_held += more;
        m_in = CodeReader(m_held);
    }
    const SpillFile& m_file;
    Run m_run; ///< what is not yet read
    std::size_t m_at_once;
    std::string m_held;
    CodeReader m_in{{}};
};

void RecordSorter::merge(const Streams& streams, const Take& take) {
    const auto later = [](const Stream* a, const Stream* b) {
        return std::tie(a->cell, a->id) > std::tie(b->cell, b->id);
    };
    std::priority_queue<Stream*, std::vector<Stream*>, decltype(later)> queue(later);
    for (const auto& stream : streams)
        if (stream->next()) queue.push(stream.get());
    while (!queue.empty()) {
        Stream* first = queue.top();
        queue.pop();
        take(first->cell, first->id, first->bytes);
        if (first->next()) queue.push(first);
    }
}

void RecordSorter::join_runs() {
    const std::size_t most = m_memory / 4 / k_least_read;
    while (m_runs.size() > most) {
        // No more than are too many: what is joined is written a second time.
        const std::size_t count = std::min(most, m_runs.size() - most + 1);
        Streams streams;
        for (std::size_t i = 0; i < count; ++i)
            streams.push_back(std::make_unique<RunStream>(m_spill, m_runs[i], k_least_read));
        RunWriter joined(m_spill);
        merge(streams, [&](std::uint64_t cell, std::int64_t id, std::string_view bytes) {
            joined.put(cell, id, bytes);
        });
        m_runs.erase(m_runs.begin(), m_runs.begin() + static_cast<std::ptrdiff_t>(count));
        m_runs.push_back(joined.finish());
    }
}

void RecordSorter::merge(std::vector<RecordSorter>& sorters, const Take& take) {
    std::size_t runs = 1, memory = 0;
    for (RecordSorter& sorter : sorters) {
        sorter.join_runs();
        runs += sorter.m_runs.size(), memory += sorter.m_memory;
    }
    const std::size_t at_once = std::clamp(memory / 4 / runs, k_least_read, std::size_t{1} << 20);
    Streams streams;
    for (RecordSorter& sorter : sorters) {
        sorter.sort();
        streams.push_back(std::make_unique<MemoryStream>(sorter.m_items));
        for (const Run& run : sorter.m_runs)
            streams.push_back(std::make_unique<RunStream>(sorter.m_spill, run, at_once));
    }
    merge(streams, take);
    streams.clear();
    sorters.clear();
}

} // namespace waywarden::map

#include "map/sorted_pbf.hpp"

#include <fcntl.h>
#include <osmium/io/detail/pbf_decoder.hpp>
#include <osmium/osm/object.hpp>
#include <protozero/pbf_reader.hpp>
#include <unistd.h>

#include <algorithm>
#include <system_error>

namespace waywarden::map {

namespace {

constexpr std::uint64_t k_largest_header = 64 * 1024,
                        k_largest_blob = 32 * 1024 * 1024; // limits of the PBF format

std::uint32_t big_endian(const std::string& four) {
    std::uint32_t value = 0;
    for (const char c : four)
        value = value << 8 | static_cast<unsigned char>(c);
    return value;
}

} // namespace

std::unique_ptr<SortedPbf> SortedPbf::open(const std::string& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC); // NOLINT(cppcoreguidelines-pro-type-vararg)
    if (file < 0) throw std::system_error(errno, std::generic_category(), path);
    std::unique_ptr<SortedPbf> pbf(new SortedPbf(file));
    pbf->find_blobs();
    return pbf;
}

SortedPbf::~SortedPbf() {
    ::close(m_file);
}

std::string SortedPbf::bytes(std::uint64_t offset, std::size_t size) const {
    std::string out(size, '\0');
    for (std::size_t got = 0; got < size;) {
        const ssize_t n = ::pread(m_file, out.data() + got, size - got, static_cast<off_t>(offset + got));
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) throw std::system_error(errno, std::generic_category(), "read");
        if (n == 0) throw osmium::pbf_error{"the file ends in the middle of a blob"};
        got += static_cast<std::size_t>(n);
    }
    return out;
}

void SortedPbf::find_blobs() {
    const off_t end = ::lseek(m_file, 0, SEEK_END);
    if (end < 0) throw std::system_error(errno, std::generic_category(), "seek");
    for (std::uint64_t at = 0; at < static_cast<std::uint64_t>(end);) {
        const std::uint32_t header_size = big_endian(bytes(at, 4));
        if (header_size > k_largest_header) throw osmium::pbf_error{"invalid size of a blob header"};
        const std::string header = bytes(at + 4, header_size);
        std::string type;
        std::uint64_t size = 0;
        protozero::pbf_reader reader(header);
        while (reader.next())
            switch (reader.tag_and_type()) { // a field of another type than the format's is no field of ours
            case protozero::tag_and_type(1, protozero::pbf_wire_type::length_delimited):
                type = reader.get_string();
                break;
            case protozero::tag_and_type(3, protozero::pbf_wire_type::varint):
                size = static_cast<std::uint64_t>(std::max(0, reader.get_int32()));
                break;
            default:
                reader.skip();
            }
        if (size == 0 || size > k_largest_blob) throw osmium::pbf_error{"invalid size of a blob"};
        const bool first = at == 0;
        if (type != (first ? "OSMHeader" : "OSMData"))
            throw osmium::pbf_error{first ? "it does not begin with a header"
                                          : "a blob that is not said to hold map data"};
        at += 4 + header_size;
        if (at + size > static_cast<std::uint64_t>(end))
            throw osmium::pbf_error{"the file ends in the middle of a blob"};
        const Blob blob{at, static_cast<std::uint32_t>(size)};
        if (first)
            m_header = blob;
        else
            m_blobs.push_back(blob);
        at += size;
    }
}

std::string SortedPbf::named_source() const {
    const std::string blob = bytes(m_header.offset, m_header.size);
    std::string output, source;
    protozero::pbf_reader header(osmium::io::detail::decode_blob(blob, output)); // points into one of them
    while (header.next(17, protozero::pbf_wire_type::length_delimited)) // HeaderBlock.source, osmformat.proto
        source = header.get_string();
    return source;
}

/// A large blob comes as several buffers, one in the other; the innermost is the first.
osmium::memory::Buffer next_of(osmium::memory::Buffer& buffers) {
    return buffers.has_nested_buffers() ? std::move(*buffers.get_last_nested()) : std::move(buffers);
}

osmium::item_type SortedPbf::first_type(BlobIndex blob) const {
    auto buffers = decoded(blob, osmium::io::read_meta::no);
    const auto first = next_of(buffers);
    return first.begin() == first.end() ? osmium::item_type::undefined : first.begin()->type();
}

/// The first blob that begins with a way, and with a relation. The blob before may hold some too: it counts
/// to both.
void SortedPbf::find_ranges() {
    const auto count = static_cast<BlobIndex>(m_blobs.size());
    const auto first_at_least = [&](osmium::item_type type) {
        BlobIndex low = 0, high = count;
        while (low < high) {
            const BlobIndex middle = low + (high - low) / 2;
            if (first_type(middle) < type)
                low = middle + 1;
            else
                high = middle;
        }
        return low;
    };
    const BlobIndex ways = first_at_least(osmium::item_type::way),
                    relations = first_at_least(osmium::item_type::relation);
    const auto one_before = [](BlobIndex blob) { return blob > 0 ? blob - 1 : 0; };
    m_ranges = {{0, ways}, {one_before(ways), relations}, {one_before(relations), count}};
}

void SortedPbf::decode(BlobIndex blob, osmium::item_type type, osmium::io::read_meta meta,
                       const std::function<void(const osmium::memory::Buffer&)>& take) const {
    const auto [begin, end] = blobs_with(type);
    const bool first = blob == begin, last = blob + 1 == end;
    auto before = osmium::item_type::undefined;
    auto buffers = decoded(blob, meta);
    for (bool more = true; more;) {
        more = buffers.has_nested_buffers();
        const auto buffer = next_of(buffers);
        for (const auto& item : buffer) {
            const osmium::item_type is = item.type();
            if (is < before || (is < type && !first) || (is > type && !last)) throw NotSorted();
            before = is;
        }
        take(buffer);
    }
}

osmium::memory::Buffer SortedPbf::decoded(BlobIndex blob, osmium::io::read_meta meta) const {
    // The decoder of a single blob is libosmium's own, but not part of its public interface. This line and
    // decode_blob() above are the only uses of it; it was written against 2.19, the version of Debian 12, and
    // the tests hold it against the public reader.
    return osmium::io::detail::PBFDataBlobDecoder{bytes(m_blobs[blob].offset, m_blobs[blob].size),
                                                  osmium::osm_entity_bits::nwr, meta}();
}

} // namespace waywarden::map

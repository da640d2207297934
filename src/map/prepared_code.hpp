#pragma once

#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>

/// How numbers and texts are written in a prepared map: docs/prepared-map.md.
namespace waywarden::map {

/// What is read does not follow the format: the file is damaged. Its text says what was found.
struct Damaged : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// From one number to another, and back again. Both wrap round at 64 bits, so that any two ids can be written
/// and no number that a file holds is too large to add.
inline std::int64_t step(std::int64_t from, std::int64_t to) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(to) - static_cast<std::uint64_t>(from));
}
inline std::int64_t after(std::int64_t from, std::int64_t step) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(from) + static_cast<std::uint64_t>(step));
}

/// Writes at the end of a text: numbers in groups of seven bits, lowest first; signed ones folded so that
/// small magnitudes stay short.
class CodeWriter {
  public:
    explicit CodeWriter(std::string& out) : m_out(out) {}
    void number(std::uint64_t value) {
        for (; value >= 0x80; value >>= 7)
            m_out.push_back(static_cast<char>(static_cast<std::uint8_t>(value) | 0x80));
        m_out.push_back(static_cast<char>(value));
    }
    void difference(std::int64_t value) {
        number(static_cast<std::uint64_t>(value) << 1 ^ static_cast<std::uint64_t>(value >> 63));
    }
    void text(std::string_view text) {
        number(text.size());
        m_out.append(text);
    }
    void fixed32(std::uint32_t value) {
        for (int i = 0; i < 4; ++i)
            m_out.push_back(static_cast<char>(value >> (8 * i)));
    }
    void real(double value); ///< eight bytes, IEEE 754, lowest first

  private:
    std::string& m_out;
};

/// Reads what CodeWriter wrote. Throws Damaged rather than read past the end.
class CodeReader {
  public:
    explicit CodeReader(std::string_view bytes) : m_at(bytes.data()), m_end(bytes.data() + bytes.size()) {}
    bool at_end() const { return m_at == m_end; }
    std::size_t left() const { return static_cast<std::size_t>(m_end - m_at); }
    std::uint64_t number() {
        // Nearly all are a byte long.
        if (m_at != m_end && static_cast<std::uint8_t>(*m_at) < 0x80)
            return static_cast<std::uint8_t>(*m_at++);
        std::uint64_t value = 0;
        for (unsigned shift = 0; m_at != m_end; shift += 7) {
            const auto byte = static_cast<std::uint8_t>(*m_at++);
            if (shift > 63 || (shift == 63 && byte > 1)) break;
            value |= std::uint64_t{byte & 0x7Fu} << shift;
            if (byte < 0x80) return value;
        }
        throw Damaged("a number runs past its end");
    }
    std::int64_t difference() {
        const std::uint64_t folded = number();
        return static_cast<std::int64_t>(folded >> 1) ^ -static_cast<std::int64_t>(folded & 1);
    }
    /// A count of things of which each takes at least one byte.
    std::size_t count() {
        const std::uint64_t value = number();
        if (value > left()) throw Damaged("a count is larger than what follows");
        return static_cast<std::size_t>(value);
    }
    std::string_view text() { return bytes(count()); }
    std::string_view bytes(std::size_t size) {
        if (size > left()) throw Damaged("a text runs past the end");
        const char* begin = m_at;
        m_at += size;
        return {begin, size};
    }
    std::uint32_t fixed32();
    double real();

  private:
    const char* m_at;
    const char* m_end;
};

/// Of the bytes, continuing from another's; the CRC-32 of ISO 3309, as zlib computes it.
std::uint32_t checksum(std::string_view bytes, std::uint32_t from = 0);

/// Compressed as one Zstandard frame (RFC 8878) that says its size. `effort`: one of Zstandard's levels.
std::string compressed(std::string_view plain, int effort);
/// Throws Damaged where that is not such a frame, or would grow beyond `most` bytes.
std::string inflated(std::string_view frame, std::size_t most);

} // namespace waywarden::map

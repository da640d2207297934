#include "map/prepared_code.hpp"

#include "error.hpp"

#include <fmt/format.h>
#include <zlib.h>
#include <zstd.h>

#include <bit>
#include <memory>

namespace waywarden::map {

namespace {

struct FreeCompressor {
    void operator()(ZSTD_CCtx* context) const { ZSTD_freeCCtx(context); }
};
struct FreeInflater {
    void operator()(ZSTD_DCtx* context) const { ZSTD_freeDCtx(context); }
};

} // namespace

void CodeWriter::real(double value) {
    const auto bits = std::bit_cast<std::uint64_t>(value);
    fixed32(static_cast<std::uint32_t>(bits));
    fixed32(static_cast<std::uint32_t>(bits >> 32));
}

std::uint32_t CodeReader::fixed32() {
    const std::string_view four = bytes(4);
    std::uint32_t value = 0;
    for (unsigned i = 0; i < 4; ++i)
        value |= static_cast<std::uint32_t>(static_cast<std::uint8_t>(four[i])) << (8 * i);
    return value;
}

double CodeReader::real() {
    const std::uint64_t low = fixed32(), high = fixed32();
    return std::bit_cast<double>(high << 32 | low);
}

std::uint32_t checksum(std::string_view bytes, std::uint32_t from) {
    return static_cast<std::uint32_t>(
        crc32_z(from, reinterpret_cast<const Bytef*>(bytes.data()), bytes.size()));
}

std::string compressed(std::string_view plain, int effort) {
    thread_local const std::unique_ptr<ZSTD_CCtx, FreeCompressor> context(ZSTD_createCCtx());
    std::string out(ZSTD_compressBound(plain.size()), '\0');
    const std::size_t size =
        ZSTD_compressCCtx(context.get(), out.data(), out.size(), plain.data(), plain.size(), effort);
    if (ZSTD_isError(size)) throw InternalError(fmt::format("compression: {}", ZSTD_getErrorName(size)));
    out.resize(size);
    return out;
}

std::string inflated(std::string_view frame, std::size_t most) {
    thread_local const std::unique_ptr<ZSTD_DCtx, FreeInflater> context(ZSTD_createDCtx());
    const unsigned long long size = ZSTD_getFrameContentSize(frame.data(), frame.size());
    if (size == ZSTD_CONTENTSIZE_ERROR || size == ZSTD_CONTENTSIZE_UNKNOWN || size > most)
        throw Damaged("a compressed part does not begin like one");
    std::string out(static_cast<std::size_t>(size), '\0');
    const std::size_t got =
        ZSTD_decompressDCtx(context.get(), out.data(), out.size(), frame.data(), frame.size());
    if (ZSTD_isError(got) || got != out.size()) throw Damaged("a compressed part cannot be inflated");
    return out;
}

} // namespace waywarden::map

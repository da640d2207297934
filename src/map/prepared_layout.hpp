#pragma once

#include <cstddef>
#include <string_view>

/// Marks and sizes that the reader and the writer of prepared maps share.
namespace waywarden::map {

using namespace std::string_view_literals;

/// The first bytes. A line end of each kind tells a copy that was treated as text; after it a zero byte.
constexpr std::string_view k_prepared_mark = "walking map\r\n\x1a\n\0"sv;
constexpr std::size_t k_prepared_begin_size = k_prepared_mark.size() + 8; ///< mark, edition, checksum
constexpr std::string_view k_prepared_end_mark = "map\nend\n"sv;
constexpr std::size_t k_prepared_tail_size = 20 + k_prepared_end_mark.size();
constexpr std::size_t k_prepared_page_entries = 256;

} // namespace waywarden::map

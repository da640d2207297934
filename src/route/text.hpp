#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

/// Bytes to characters, numbers and line numbers: what the readers of every format share.
namespace waywarden::route {

/// The text as UTF-8 without a byte order mark: from UTF-8, UTF-16 by its mark, or, where an XML declaration
/// says so, ISO-8859-1 (the bytes 0x80 to 0x9F are read as windows-1252, which files that claim ISO-8859-1
/// often are).
std::string to_utf8(std::string_view bytes);

/// Line of a byte, from 1.
class Lines {
  public:
    explicit Lines(std::string_view text) : m_text(text) {}
    /// Cheap where asked with rising offsets.
    std::size_t line_of(std::size_t offset);

  private:
    std::string_view m_text;
    std::size_t m_at = 0, m_line = 1;
};

/// A plain decimal number, blanks around it allowed, independent of the locale. None for anything else
/// ("12abc", "nan", "").
std::optional<double> number(std::string_view text);

/// A coordinate with its limits. Throws DataError "FILE:LINE: ..." where it is no number or out of range.
struct Where {
    const std::string& path;
    std::size_t line; ///< 0 where not known
};
[[noreturn]] void refuse(const Where& where, const std::string& what, const std::string& advice);
struct LonLat {
    double lon_deg, lat_deg;
};
LonLat checked(std::string_view lon, std::string_view lat, const Where& where);
LonLat checked(double lon, double lat, const Where& where);

} // namespace waywarden::route

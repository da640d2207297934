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

/// Bytes of windows-1252 as UTF-8.
std::string from_windows_1252(std::string_view bytes);

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

/// An elevation in metres that ground can have (-500 to 9000: the Dead Sea to the highest summit, with room);
/// none for anything else, such as the -32768 or -9999 that stand for "not known" in many files.
std::optional<double> elevation(std::string_view text);
std::optional<double> elevation(double metres);

/// One line of valid UTF-8 for messages and terminals: blanks and control characters run together to one
/// blank and go at the ends, a byte that is no UTF-8 becomes U+FFFD, the rest after 200 characters is cut.
std::string clean_name(std::string_view name);

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

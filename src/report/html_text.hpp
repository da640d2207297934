#pragma once

#include <string>
#include <string_view>

/// Text in HTML.
namespace waywarden::report {

/// Text from a file as text of a page or of an attribute in double quotes: made plain first (words.hpp), then
/// `& < > " '` become character references. Nothing in it can end or begin a tag.
std::string html(std::string_view text);

/// A file name as part of a relative link: all but letters, digits and `-._~` percent-encoded (RFC
/// 3986, 2.1).
std::string url_part(std::string_view text);

/// Bytes in base 64 (RFC 4648, 4), for the hashes of a content security policy.
std::string base64(std::string_view bytes);

/// "sha256-…" of a style or a script as a content security policy names it (CSP level 3, 2.3.1).
std::string policy_hash(std::string_view text);

} // namespace waywarden::report

#pragma once

#include <string>
#include <string_view>

namespace waywarden::report {

/// SHA-256 of the bytes (FIPS 180-4), 64 hexadecimal digits in lower case. For fingerprints and to tell
/// whether a result is the one a decision was made on; nothing here is a secret.
std::string sha256(std::string_view bytes);

} // namespace waywarden::report

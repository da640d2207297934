#include "map/attribution.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace waywarden::map {

namespace {

constexpr std::size_t k_longest_bytes = 240; // two lines of a report; a header may hold megabytes

/// Control characters become blanks, blanks at the ends go, and what is too long is cut between characters.
std::string one_line(std::string_view text) {
    std::string out(text.substr(0, k_longest_bytes + 1));
    std::replace_if(
        out.begin(), out.end(), [](unsigned char c) { return c < 0x20 || c == 0x7F; }, ' ');
    if (out.size() > k_longest_bytes) {
        std::size_t end = k_longest_bytes - 4; // room for the sign of what was left out
        while (end > 0 && (static_cast<unsigned char>(out[end]) & 0xC0U) == 0x80U)
            --end;
        out = out.substr(0, end) + "…";
    }
    out.erase(0, std::min(out.find_first_not_of(' '), out.size()));
    out.erase(out.find_last_not_of(" .") + 1);
    return out;
}

template <std::size_t N> bool names_one(const std::string& text, const std::array<const char*, N>& words) {
    return std::any_of(words.begin(), words.end(),
                       [&](const char* word) { return text.find(word) != std::string::npos; });
}

constexpr std::array k_of_osm = {"openstreetmap", "open street map", "osm", "odbl", "open database"};
constexpr std::array k_of_rights = {"©",   "(c)",   "copyright", "licence",      "license",
                                    "cc0", "cc by", "cc-by",     "public domain"};

} // namespace

std::string attribution_of(std::string_view header_source) {
    const std::string words = one_line(header_source);
    std::string lower = words;
    std::transform(lower.begin(), lower.end(), lower.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const bool of_osm = names_one(lower, k_of_osm);
    if (!of_osm && names_one(lower, k_of_rights)) return words;

    std::string out(k_osm_attribution);
    const bool says_something = std::any_of(
        words.begin(), words.end(), [](unsigned char c) { return std::isalnum(c) != 0 || c >= 0x80; });
    const bool says_it_already = lower.size() < 50 && (lower.find("openstreetmap.org") != std::string::npos ||
                                                       lower.ends_with("openstreetmap") ||
                                                       lower.ends_with("openstreetmap contributors"));
    if (says_something && !says_it_already) out += "; the file names as its source: " + words;
    return out;
}

} // namespace waywarden::map

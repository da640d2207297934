#include "map/tag_words.hpp"

#include <charconv>
#include <cmath>

namespace waywarden::map {

std::string tidied(std::string_view text) {
    const auto first = text.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos) return "";
    std::string out(text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1));
    for (char& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return out;
}

std::vector<std::string> parts_of(std::string_view value, char separator) {
    std::vector<std::string> out;
    while (!value.empty()) {
        const auto end = value.find(separator);
        std::string part = tidied(value.substr(0, end));
        if (!part.empty()) out.push_back(std::move(part));
        value = end == std::string_view::npos ? std::string_view() : value.substr(end + 1);
    }
    return out;
}

bool number_and_unit(const std::string& text, double& number, std::string& unit) {
    const auto [end, error] =
        std::from_chars(text.data(), text.data() + text.size(), number, std::chars_format::fixed);
    if (error != std::errc() || !std::isfinite(number)) return false;
    unit = tidied(std::string_view(end, static_cast<std::size_t>(text.data() + text.size() - end)));
    return true;
}

} // namespace waywarden::map

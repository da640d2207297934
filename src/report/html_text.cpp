#include "report/html_text.hpp"

#include "report/sha256.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

namespace waywarden::report {

namespace {

std::string bytes_of_hex(std::string_view hex) {
    const auto digit = [](char c) { return c <= '9' ? c - '0' : c - 'a' + 10; };
    std::string out;
    for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
        out += static_cast<char>(digit(hex[i]) * 16 + digit(hex[i + 1]));
    return out;
}

} // namespace

std::string html(std::string_view text) {
    std::string out;
    for (const char c : plain(text)) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        case '\'':
            out += "&#39;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

std::string url_part(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const bool kept = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                          c == '-' || c == '.' || c == '_' || c == '~';
        out += kept ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return out;
}

std::string base64(std::string_view bytes) {
    constexpr std::string_view k_digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string out;
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        const auto byte = [&](std::size_t k) {
            return i + k < bytes.size() ? unsigned{static_cast<unsigned char>(bytes[i + k])} : 0U;
        };
        const unsigned three = (byte(0) << 16U) | (byte(1) << 8U) | byte(2);
        out += k_digits[three >> 18U];
        out += k_digits[(three >> 12U) & 63U];
        out += i + 1 < bytes.size() ? k_digits[(three >> 6U) & 63U] : '=';
        out += i + 2 < bytes.size() ? k_digits[three & 63U] : '=';
    }
    return out;
}

std::string policy_hash(std::string_view text) {
    return "sha256-" + base64(bytes_of_hex(sha256(text)));
}

} // namespace waywarden::report

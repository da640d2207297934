#include "rules/json_places.hpp"

#include "error.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace waywarden::rules {

namespace {

/// Walks over a text that is JSON and notes where each value stands. The library's parser gives no places.
class PlaceFinder {
  public:
    PlaceFinder(std::string_view text, const std::string& path, std::map<std::string, std::size_t>& lines)
        : m_text(text), m_path(path), m_lines(lines) {}

    void value(const std::string& pointer) {
        skip_blanks();
        m_lines[pointer] = m_line;
        if (m_text[m_at] == '{') {
            members(pointer);
        } else if (m_text[m_at] == '[') {
            items(pointer);
        } else if (m_text[m_at] == '"') {
            string();
        } else {
            while (m_at < m_text.size() &&
                   std::string_view(",]} \t\r\n").find(m_text[m_at]) == std::string_view::npos)
                ++m_at;
        }
    }

  private:
    void members(const std::string& pointer);
    void items(const std::string& pointer);
    std::string string();
    void skip_blanks();

    std::string_view m_text;
    const std::string& m_path;
    std::map<std::string, std::size_t>& m_lines;
    std::size_t m_at = 0;
    std::size_t m_line = 1;
};

void PlaceFinder::skip_blanks() {
    for (; m_at < m_text.size() && std::string_view(" \t\r\n").find(m_text[m_at]) != std::string_view::npos;
         ++m_at)
        if (m_text[m_at] == '\n') ++m_line;
}

std::string PlaceFinder::string() {
    const std::size_t from = m_at++;
    while (m_text[m_at] != '"')
        m_at += m_text[m_at] == '\\' ? 2u : 1u;
    ++m_at;
    const std::string_view quoted = m_text.substr(from, m_at - from);
    if (quoted.find('\\') == std::string_view::npos)
        return std::string(quoted.substr(1, quoted.size() - 2)); // the parser has seen that it is text
    return nlohmann::json::parse(quoted).get<std::string>();
}

void PlaceFinder::members(const std::string& pointer) {
    for (++m_at;; ++m_at) {
        skip_blanks();
        if (m_text[m_at] == '}') break;
        const std::size_t line = m_line;
        const std::string key = string();
        const std::string inner = pointer + "/" + escaped(key);
        if (m_lines.count(inner))
            throw DataError(fmt::format("{}:{}: {}: the key \"{}\" is given twice; keep one of them", m_path,
                                        line, inner, key));
        skip_blanks();
        ++m_at; // the colon
        value(inner);
        skip_blanks();
        if (m_text[m_at] == '}') break;
    }
    ++m_at;
}

void PlaceFinder::items(const std::string& pointer) {
    ++m_at;
    for (std::size_t i = 0;; ++i, ++m_at) {
        skip_blanks();
        if (m_text[m_at] == ']') break;
        value(fmt::format("{}/{}", pointer, i));
        skip_blanks();
        if (m_text[m_at] == ']') break;
    }
    ++m_at;
}

} // namespace

std::size_t line_at(std::string_view text, std::size_t byte) {
    const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(byte, text.size()));
    return 1 + static_cast<std::size_t>(std::count(text.begin(), end, '\n'));
}

std::string escaped(std::string_view key) {
    std::string out;
    for (const char c : key)
        if (c == '~')
            out += "~0";
        else if (c == '/')
            out += "~1";
        else
            out += c;
    return out;
}

void check_depth(std::string_view text, const std::string& path, int deepest) {
    int depth = 0;
    bool in_string = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (in_string) {
            if (c == '\\') ++i;
            if (c == '"') in_string = false;
        } else if (c == '"') {
            in_string = true;
        } else if (c == '{' || c == '[') {
            if (++depth > deepest)
                throw DataError(
                    fmt::format("{}:{}: nested deeper than {} levels; no rule needs that, write it flatter",
                                path, line_at(text, i), deepest));
        } else if (c == '}' || c == ']') {
            --depth;
        }
    }
}

std::map<std::string, std::size_t> lines_of(std::string_view text, const std::string& path) {
    std::map<std::string, std::size_t> out;
    PlaceFinder(text, path, out).value("");
    return out;
}

} // namespace waywarden::rules

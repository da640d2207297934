#include "rules/json_text.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace waywarden::rules {

namespace {

std::size_t line_at(std::string_view text, std::size_t byte) {
    const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(byte, text.size()));
    return 1 + static_cast<std::size_t>(std::count(text.begin(), end, '\n'));
}

std::string escaped(const std::string& key) {
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
    return Json::parse(quoted).get<std::string>();
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

/// Refuses deep nesting before anything recursive sees the text.
void check_depth(std::string_view text, const std::string& path) {
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
            if (++depth > Document::k_deepest)
                throw DataError(
                    fmt::format("{}:{}: nested deeper than {} levels; no rule needs that, write it flatter",
                                path, line_at(text, i), Document::k_deepest));
        } else if (c == '}' || c == ']') {
            --depth;
        }
    }
}

Json parsed(const std::string& text, const std::string& path) {
    try {
        return Json::parse(text);
    } catch (const Json::parse_error& e) {
        std::string what = e.what();
        if (const auto at = what.rfind("; last read"); at != std::string::npos) what.resize(at);
        if (const auto at = what.rfind(": "); at != std::string::npos) what = what.substr(at + 2);
        throw DataError(fmt::format("{}:{}: this is not JSON (byte {}: {}); mend it there or just before",
                                    path, line_at(text, e.byte ? e.byte - 1 : 0), e.byte, what));
    } catch (const Json::exception&) {
        throw DataError(path + ": holds a number that is too large; mend it");
    }
}

std::size_t changes(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j < row.size(); ++j)
        row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t kept = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({kept, row[j] + 1, row[j - 1] + 1});
        }
    }
    return row.back();
}

} // namespace

Document::Document(std::string text, std::string path) : m_path(std::move(path)) {
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
    check_depth(text, m_path);
    m_root = parsed(text, m_path);
    PlaceFinder(text, m_path, m_lines).value("");
}

std::size_t Document::line(std::string pointer) const {
    while (!m_lines.count(pointer)) {
        const auto slash = pointer.rfind('/');
        if (slash == std::string::npos) return 1;
        pointer.resize(slash);
    }
    return m_lines.at(pointer);
}

void Value::refuse(const std::string& what) const {
    throw DataError(fmt::format("{}:{}: {}: {}", document->path(), document->line(pointer),
                                pointer.empty() ? "/" : pointer, what));
}

Value Value::operator[](std::string_view key) const {
    if (!at->is_object()) refuse("must be an object {…}");
    if (!at->contains(key)) refuse(fmt::format("\"{}\" is missing; add it", key));
    return {&(*at)[std::string(key)], pointer + "/" + escaped(std::string(key)), document};
}

Value Value::item(std::size_t index) const {
    return {&(*at)[index], fmt::format("{}/{}", pointer, index), document};
}

std::string Value::text() const {
    if (!at->is_string()) refuse("must be a text in quotes");
    return at->get<std::string>();
}

double Value::number() const {
    if (!at->is_number() || !std::isfinite(at->get<double>())) refuse("must be a number");
    return at->get<double>();
}

bool Value::truth() const {
    if (!at->is_boolean()) refuse("must be true or false");
    return at->get<bool>();
}

std::vector<Value> Value::items() const {
    if (!at->is_array()) refuse("must be a list […]");
    std::vector<Value> out;
    for (std::size_t i = 0; i < at->size(); ++i)
        out.push_back(item(i));
    return out;
}

std::vector<std::string> Value::texts() const {
    std::vector<std::string> out;
    for (const Value& one : items())
        out.push_back(one.text());
    return out;
}

std::vector<std::pair<std::string, Value>> Value::members() const {
    if (!at->is_object()) refuse("must be an object {…}");
    std::vector<std::pair<std::string, Value>> out;
    for (const auto& [key, inner] : at->items())
        out.emplace_back(key, Value{&inner, pointer + "/" + escaped(key), document});
    return out;
}

void Value::allow_only(const std::vector<std::string_view>& keys) const {
    for (const auto& [key, inner] : members())
        if (std::find(keys.begin(), keys.end(), key) == keys.end())
            inner.refuse(fmt::format("nothing is called \"{}\" here{}", key, hint(key, keys)));
}

std::size_t Value::one_of(const std::vector<std::string_view>& words) const {
    const std::string word = text();
    const auto at_word = std::find(words.begin(), words.end(), word);
    if (at_word == words.end()) refuse(fmt::format("cannot be \"{}\"{}", word, hint(word, words)));
    return static_cast<std::size_t>(at_word - words.begin());
}

std::string read_text(const std::string& path) {
    std::error_code failed;
    if (std::filesystem::is_directory(path, failed))
        throw DataError(path + ": is a folder; name a file in it");
    std::ifstream in(path, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(in), {}};
    if (!in.is_open() || in.bad() || (text.empty() && in.fail() && !in.eof()))
        throw DataError(path + ": cannot be read; check the name and that you may read it");
    return text;
}

std::string nearest(std::string_view word, const std::vector<std::string_view>& among) {
    std::string_view best;
    std::size_t fewest = std::max<std::size_t>(2, word.size() / 3) + 1;
    for (const std::string_view one : among)
        if (const std::size_t n = changes(word, one); n < fewest) {
            fewest = n;
            best = one;
        }
    return std::string(best);
}

std::string hint(std::string_view word, const std::vector<std::string_view>& among) {
    if (const std::string near = nearest(word, among); !near.empty())
        return fmt::format("; did you mean \"{}\"?", near);
    return fmt::format("; known are {}", fmt::join(among, ", "));
}

} // namespace waywarden::rules

#include "rules/json_text.hpp"

#include "error.hpp"
#include "rules/json_places.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <optional>

namespace waywarden::rules {

namespace {

constexpr std::size_t k_read_at_once = 1u << 17;

/// Makes the values out of a text gone over once. Stops where it is no JSON, is nested too deep or has a key
/// twice, and leaves it to others to say which and where.
class TreeBuilder {
  public:
    explicit TreeBuilder(Json& root) : m_root(root) {}

    bool null() { return put(nullptr); }
    bool boolean(bool value) { return put(value); }
    bool number_integer(std::int64_t value) { return put(value); }
    bool number_unsigned(std::uint64_t value) { return put(value); }
    bool number_float(double value, const std::string&) { return put(value); }
    bool string(std::string& value) { return put(std::move(value)); }
    bool binary(Json::binary_t&) { return false; }
    bool start_object(std::size_t) { return open(Json::object()); }
    bool start_array(std::size_t) { return open(Json::array()); }
    bool end_object() { return close(); }
    bool end_array() { return close(); }
    bool key(std::string& word) {
        const auto [member, is_new] = m_open.back()->get_ref<Json::object_t&>().try_emplace(std::move(word));
        m_member = &member->second;
        return is_new;
    }
    bool parse_error(std::size_t, const std::string&, const Json::exception&) { return false; }

  private:
    Json& place() {
        if (m_open.empty()) return m_root;
        if (m_open.back()->is_array()) return m_open.back()->emplace_back();
        return *m_member;
    }
    bool put(Json value) {
        place() = std::move(value);
        return true;
    }
    bool open(Json value) {
        Json& at = place();
        at = std::move(value);
        m_open.push_back(&at);
        return m_open.size() <= std::size_t{Document::k_deepest};
    }
    bool close() {
        m_open.pop_back();
        return true;
    }

    Json& m_root;
    Json* m_member = nullptr; ///< where the value of the last key belongs
    std::vector<Json*> m_open;
};

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

/// The JSON pointer of a value below `from`, by its address; none where it is not there.
std::optional<std::string> pointer_below(const Json& from, const Json* sought) {
    if (&from == sought) return "";
    if (!from.is_structured()) return std::nullopt;
    std::size_t index = 0;
    for (auto it = from.begin(); it != from.end(); ++it, ++index)
        if (const auto below = pointer_below(*it, sought))
            return "/" + (from.is_array() ? std::to_string(index) : escaped(it.key())) + *below;
    return std::nullopt;
}

} // namespace

Document::Document(std::string text, std::string path) : m_path(std::move(path)), m_text(std::move(text)) {
    if (m_text.starts_with("\xEF\xBB\xBF")) m_text.erase(0, 3);
    TreeBuilder builder(m_root);
    if (Json::sax_parse(m_text, &builder)) return;
    check_depth(m_text, m_path, k_deepest);
    m_root = parsed(m_text, m_path);
    m_lines = lines_of(m_text, m_path);
}

std::string Document::pointer(const Json* value) const {
    return pointer_below(m_root, value).value_or("");
}

std::size_t Document::line(std::string pointer) const {
    if (m_lines.empty()) m_lines = lines_of(m_text, m_path);
    while (!m_lines.count(pointer)) {
        const auto slash = pointer.rfind('/');
        if (slash == std::string::npos) return 1;
        pointer.resize(slash);
    }
    return m_lines.at(pointer);
}

void Value::refuse(const std::string& what) const {
    const std::string place = pointer();
    throw DataError(fmt::format("{}:{}: {}: {}", document->path(), document->line(place),
                                place.empty() ? "/" : place, what));
}

Value Value::operator[](std::string_view key) const {
    if (!at->is_object()) refuse("must be an object {…}");
    const auto member = at->find(key);
    if (member == at->end()) refuse(fmt::format("\"{}\" is missing; add it", key));
    return {&*member, document};
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
    out.reserve(at->size());
    for (const Json& item : *at)
        out.push_back({&item, document});
    return out;
}

std::vector<std::string> Value::texts() const {
    std::vector<std::string> out;
    for (const Value& one : items())
        out.push_back(one.text());
    return out;
}

std::vector<std::pair<std::string_view, Value>> Value::members() const {
    if (!at->is_object()) refuse("must be an object {…}");
    std::vector<std::pair<std::string_view, Value>> out;
    out.reserve(at->size());
    for (const auto& [key, inner] : at->get_ref<const Json::object_t&>())
        out.emplace_back(key, Value{&inner, document});
    return out;
}

void Value::allow_only(std::span<const std::string_view> keys) const {
    for (const auto& [key, inner] : members())
        if (std::find(keys.begin(), keys.end(), key) == keys.end())
            inner.refuse(fmt::format("nothing is called \"{}\" here{}", key, hint(key, keys)));
}

std::size_t Value::one_of(std::span<const std::string_view> words) const {
    if (!at->is_string()) refuse("must be a text in quotes");
    const std::string_view word = at->get_ref<const std::string&>();
    const auto at_word = std::find(words.begin(), words.end(), word);
    if (at_word == words.end()) refuse(fmt::format("cannot be \"{}\"{}", word, hint(word, words)));
    return static_cast<std::size_t>(at_word - words.begin());
}

std::string read_text(const std::string& path) {
    std::error_code failed;
    if (std::filesystem::is_directory(path, failed))
        throw DataError(path + ": is a folder; name a file in it");
    std::ifstream in(path, std::ios::binary);
    std::string text;
    for (std::size_t got = 0; in; text.resize(got)) {
        text.resize(got + k_read_at_once);
        in.read(text.data() + got, k_read_at_once);
        got += static_cast<std::size_t>(in.gcount());
    }
    if (!in.is_open() || in.bad())
        throw DataError(path + ": cannot be read; check the name and that you may read it");
    return text;
}

std::string nearest(std::string_view word, std::span<const std::string_view> among) {
    std::string_view best;
    std::size_t fewest = std::max<std::size_t>(2, word.size() / 3) + 1;
    for (const std::string_view one : among)
        if (const std::size_t n = changes(word, one); n < fewest) {
            fewest = n;
            best = one;
        }
    return std::string(best);
}

std::string hint(std::string_view word, std::span<const std::string_view> among) {
    if (const std::string near = nearest(word, among); !near.empty())
        return fmt::format("; did you mean \"{}\"?", near);
    return fmt::format("; known are {}", fmt::join(among, ", "));
}

} // namespace waywarden::rules

#pragma once

#include <nlohmann/json.hpp>

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// JSON with the line of every value, so that each message can say where.
namespace waywarden::rules {

using Json = nlohmann::json;

/// A parsed file, for one thread at a time. Throws DataError (path, line, what) where the text is no JSON, is
/// nested deeper than k_deepest, or gives one key twice.
class Document {
  public:
    static constexpr int k_deepest = 48;
    Document(std::string text, std::string path);
    const Json& root() const { return m_root; }
    const std::string& path() const { return m_path; }
    /// The line of the value a JSON pointer (RFC 6901) names, from 1; of the nearest value around it where
    /// there is none.
    std::size_t line(std::string pointer) const;
    /// The JSON pointer of a value of this document.
    std::string pointer(const Json* value) const;

  private:
    std::string m_path;
    std::string m_text;
    Json m_root;
    mutable std::map<std::string, std::size_t> m_lines; ///< empty until a line is asked for
};

/// A value of the file with the place it stands.
struct Value {
    const Json* at;
    const Document* document;

    std::string pointer() const { return document->pointer(at); }

    /// Throws DataError "FILE:LINE: POINTER: what".
    [[noreturn]] void refuse(const std::string& what) const;
    bool has(std::string_view key) const { return at->contains(key); }
    Value operator[](std::string_view key) const; ///< refuses where the key is missing
    Value item(std::size_t index) const { return {&(*at)[index], document}; }
    std::string text() const;
    double number() const; ///< finite
    bool truth() const;
    std::vector<Value> items() const;
    std::vector<std::string> texts() const;
    std::vector<std::pair<std::string_view, Value>> members() const;
    /// Refuses keys that are not among those known, naming the nearest one.
    void allow_only(std::span<const std::string_view> keys) const;
    void allow_only(std::initializer_list<std::string_view> keys) const { allow_only(std::span(keys)); }
    /// Refuses a text that is not among those known, naming the nearest one; the index of the one it is.
    std::size_t one_of(std::span<const std::string_view> words) const;
    std::size_t one_of(std::initializer_list<std::string_view> words) const {
        return one_of(std::span(words));
    }
};

inline Value whole(const Document& document) {
    return {&document.root(), &document};
}

/// The whole file. Throws DataError where it cannot be read.
std::string read_text(const std::string& path);

/// The word that needs the fewest changes of a letter (Levenshtein 1966), or "" where none is near: more than
/// a third of the letters and more than two would change.
std::string nearest(std::string_view word, std::span<const std::string_view> among);

/// `; did you mean "x"?` or, where none is near, `; known are a, b, c`.
std::string hint(std::string_view word, std::span<const std::string_view> among);

} // namespace waywarden::rules

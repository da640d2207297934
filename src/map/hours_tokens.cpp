#include "map/hours_tokens.hpp"

#include "map/tag_words.hpp"

#include <algorithm>
#include <array>

namespace waywarden::map::hours {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

std::size_t run_of(std::string_view text, std::size_t from, bool (*belongs)(char)) {
    std::size_t end = from;
    while (end < text.size() && belongs(text[end]))
        ++end;
    return end - from;
}

Token token_at(std::string_view value, std::size_t at) {
    constexpr int k_too_large = 100000;
    Token out;
    out.at = at;
    const char c = value[at];
    if (is_digit(c)) {
        out.kind = Token::Kind::number;
        out.text = value.substr(at, run_of(value, at, is_digit));
        for (const char digit : out.text)
            out.number = std::min(k_too_large, out.number * 10 + (digit - '0'));
    } else if (is_letter(c)) {
        out.kind = Token::Kind::word;
        out.text = value.substr(at, run_of(value, at, is_letter));
        out.lower = tidied(out.text);
    } else if (const auto close = value.find('"', at + 1); c == '"' && close != std::string_view::npos) {
        out.kind = Token::Kind::comment;
        out.text = value.substr(at + 1, close - at - 1);
    } else {
        out.kind = Token::Kind::sign;
        const bool bars = value.substr(at, 2) == "||";
        out.text = c == '"' ? value.substr(at) : value.substr(at, bars ? 2 : 1);
    }
    return out;
}

template <std::size_t n> int place_in(const std::array<std::string_view, n>& words, const Token& token) {
    if (token.kind != Token::Kind::word) return -1;
    const auto found = std::find(words.begin(), words.end(), token.lower);
    return found == words.end() ? -1 : static_cast<int>(found - words.begin());
}

} // namespace

std::vector<Token> tokens_of(std::string_view value) {
    std::vector<Token> out;
    bool blank = true;
    for (std::size_t at = 0; at < value.size();) {
        if (is_blank(value[at])) {
            blank = true;
            ++at;
            continue;
        }
        out.push_back(token_at(value, at));
        out.back().blank_before = blank;
        blank = false;
        at += out.back().text.size() + (out.back().kind == Token::Kind::comment ? 2 : 0);
    }
    Token end;
    end.at = value.size();
    end.blank_before = true;
    out.push_back(end);
    return out;
}

int weekday_of(const Token& token) {
    static constexpr std::array<std::string_view, 7> words{"su", "mo", "tu", "we", "th", "fr", "sa"};
    return place_in(words, token);
}

unsigned month_of(const Token& token) {
    static constexpr std::array<std::string_view, 12> words{"jan", "feb", "mar", "apr", "may", "jun",
                                                            "jul", "aug", "sep", "oct", "nov", "dec"};
    return static_cast<unsigned>(place_in(words, token) + 1);
}

} // namespace waywarden::map::hours

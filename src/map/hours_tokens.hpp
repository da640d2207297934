#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace waywarden::map::hours {

struct Token {
    enum class Kind { number, word, sign, comment, end };
    Kind kind = Kind::end;
    std::string_view text; ///< into the value; of a comment what is between the quotes
    std::string lower;     ///< of a word, in small letters
    int number = 0;
    std::size_t at = 0;        ///< byte in the value
    bool blank_before = false; ///< also true of the first
};

/// The parts of an opening_hours value, with an end token behind them. Any bytes will do; a quote that is not
/// closed runs to the end and is a sign.
std::vector<Token> tokens_of(std::string_view value);

/// 0 for Sunday to 6, or -1; 1 for January to 12, or 0.
int weekday_of(const Token& token);
unsigned month_of(const Token& token);

} // namespace waywarden::map::hours

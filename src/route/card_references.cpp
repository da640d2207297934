#include "route/card_references.hpp"

#include <algorithm>
#include <regex>

namespace waywarden::route {

namespace {

std::string upper_without_blanks(const std::string& text) {
    std::string out;
    for (const char c : text)
        if (c != ' ') out += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    return out;
}

std::string digits_in(const std::string& text) {
    std::string out;
    std::copy_if(text.begin(), text.end(), std::back_inserter(out),
                 [](char c) { return c >= '0' && c <= '9'; });
    return out;
}

/// Blanks and punctuation that held a reference apart from the name.
std::string trimmed(std::string text) {
    const char* k_around = " \t,;:()[]-/@";
    const std::size_t first = text.find_first_not_of(k_around);
    if (first == std::string::npos) return "";
    return text.substr(first, text.find_last_not_of(k_around) - first + 1);
}

/// The words that announce a reference are no part of the name.
std::string without_announcement(const std::string& text) {
    static const std::regex k_announced("\\b(grid ref(erence)?|gr|ref)\\b[ .:=]*(?=[ \\w]*\\d)",
                                        std::regex::icase);
    return std::regex_replace(text, k_announced, "");
}

FoundReference found(const std::smatch& match) {
    FoundReference out;
    out.written = match.str(0);
    out.letters = upper_without_blanks(match.str(1));
    out.digits = digits_in(match.str(2));
    out.halved = out.digits.size() >= 4 && out.digits.size() <= 10 && out.digits.size() % 2 == 0;
    const std::string before = trimmed(match.prefix()), after = trimmed(match.suffix());
    out.rest = before.empty() || after.empty() ? before + after : before + " " + after;
    return out;
}

// Two runs of digits of one length are parted by blanks, a comma, a slash or a dash; std::regex has no
// look-behind, so a word boundary stands before.
const char* const k_halves = "(\\d{2,5}[ ]*[ ,/-][ ]*\\d{2,5}|\\d{4,11})\\b";

bool halves_match(const std::string& digits) {
    const std::size_t cut = digits.find_first_not_of("0123456789");
    if (cut == std::string::npos) return true;
    const std::size_t second = digits.find_first_of("0123456789", cut);
    return cut == digits.size() - second;
}

} // namespace

std::optional<FoundReference> find_reference(std::string_view view, bool expected) {
    const std::string text = without_announcement(std::string(view));
    static const std::regex k_mgrs(
        std::string("\\b(\\d{1,2}[ ]?[C-HJ-NP-X][ ]?[A-HJ-NP-Z]{2})[ ]?") + k_halves, std::regex::icase);
    static const std::regex k_lettered(std::string("\\b([A-Z]{1,2})[ ]?") + k_halves, std::regex::icase);
    static const std::regex k_bare(std::string("\\b()") + k_halves);
    static const std::regex k_two("\\d{6}\\D+\\d{6}"); // two references, or metres in full: never guess which
    std::smatch match;
    if (!std::regex_search(text, k_two)) {
        for (const std::regex* form : {&k_mgrs, &k_lettered, &k_bare}) {
            if (!std::regex_search(text, match, *form) || !halves_match(match.str(2))) continue;
            const std::size_t figures = digits_in(match.str(2)).size();
            static const std::regex k_more("^[ ,/.-]*\\d");
            const std::string after = match.suffix();
            if (expected && std::regex_search(after, k_more)) continue;
            // "B6160" among names is a road.
            if (expected || figures >= 6 || match.str(1).size() > 1) return found(match);
        }
    }
    if (!expected || digits_in(text).empty()) return std::nullopt;
    FoundReference unreadable;
    unreadable.written = text;
    unreadable.digits = digits_in(text);
    unreadable.halved = false;
    return unreadable;
}

geo::GridSystem grid_of_letters(const std::vector<std::string>& letters) {
    const auto of_length = [&](auto&& fits) {
        return std::count_if(letters.begin(), letters.end(),
                             [&](const std::string& l) { return fits(l.size()); });
    };
    const auto one = of_length([](std::size_t n) { return n == 1; });
    const auto two = of_length([](std::size_t n) { return n == 2; });
    const auto more = of_length([](std::size_t n) { return n > 2; });
    if (more > two && more > one) return geo::GridSystem::utm;
    return one > two ? geo::GridSystem::irish : geo::GridSystem::british;
}

std::optional<geo::GridSquare> square_of(const std::string& letters, const std::string& digits,
                                         geo::GridSystem grid) {
    if (letters.empty() || digits.size() < 4 || digits.size() > 10 || digits.size() % 2 != 0)
        return std::nullopt;
    return geo::parse_grid_reference(letters + digits, grid);
}

} // namespace waywarden::route

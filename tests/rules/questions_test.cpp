#include "rules/library.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <set>

// Questions go to fourteen-year-olds: short sentences, plain words, no alarm, no answer.

namespace {

using namespace waywarden;

std::vector<rules::Rule> rules_of(const std::string& set) {
    const std::vector<std::string> names{set};
    return rules::load_sets(names).rules;
}

/// Every question of the shipped sets, with a name where a fact stands.
std::vector<std::pair<std::string, std::string>> questions() {
    std::vector<std::pair<std::string, std::string>> out;
    std::set<std::string> seen;
    for (const std::string& set : rules::set_names())
        for (const rules::Rule& rule : rules_of(set)) {
            if (rule.ask.empty() || !seen.insert(rule.id).second) continue;
            std::string text;
            bool inside = false;
            for (const char c : rule.ask) {
                if (c == '{') text += "Mill Lane";
                inside = c == '{' || (inside && c != '}');
                if (!inside && c != '}') text += c;
            }
            out.emplace_back(rule.id, text);
        }
    return out;
}

struct Counts {
    double words = 0, sentences = 0, syllables = 0, longest_sentence = 0;
    /// Flesch, A new readability yardstick, Journal of Applied Psychology 32 (1948); formula from memory. 70
    /// to 80 is "fairly easy", what twelve-year-olds read.
    double ease() const { return 206.835 - 1.015 * words / sentences - 84.6 * syllables / words; }
};

/// Groups of vowels, a silent e at the end apart: a common approximation, no source.
double syllables_of(const std::string& word) {
    double count = 0;
    bool vowel_before = false;
    for (const char c : word) {
        const bool vowel = std::string("aeiouy").find(c) != std::string::npos;
        count += vowel && !vowel_before;
        vowel_before = vowel;
    }
    if (word.size() > 2 && word.back() == 'e' && word[word.size() - 2] != 'l') --count;
    return std::max(count, 1.0);
}

void count_words(const std::string& text, Counts& out) {
    std::string word;
    double in_sentence = 0;
    for (const char c : text + " ") {
        if (std::isalpha(static_cast<unsigned char>(c)) || c == '\'') {
            word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
            continue;
        }
        if (!word.empty()) {
            out.words += 1;
            in_sentence += 1;
            out.syllables += syllables_of(word);
            word.clear();
        }
        if (c != '.' && c != '?' && c != '!' && c != ':') continue;
        out.sentences += in_sentence > 0;
        out.longest_sentence = std::max(out.longest_sentence, in_sentence);
        in_sentence = 0;
    }
}

} // namespace

TEST_CASE("questions to the team are easy to read") {
    Counts all;
    for (const auto& [id, text] : questions()) {
        CAPTURE(text);
        Counts one;
        count_words(text, one);
        CHECK_MESSAGE(one.longest_sentence <= 20, id);
        CHECK_MESSAGE(text.find('?') != std::string::npos, id);
        CHECK_MESSAGE(one.words <= 40, id);
        count_words(text, all);
    }
    REQUIRE(all.sentences > 40);
    CHECK(all.ease() >= 80);
    CHECK(all.words / all.sentences <= 12);
}

TEST_CASE("questions to the team neither judge nor frighten nor use the map's own tags") {
    for (const auto& [id, text] : questions()) {
        std::string low = " ";
        for (const char c : text)
            low += std::isalpha(static_cast<unsigned char>(c)) || c == '=' || c == '_'
                       ? static_cast<char>(std::tolower(static_cast<unsigned char>(c)))
                       : ' ';
        low += ' ';
        for (const char* word : {"wrong",  "error", "mistake", "danger", "dangerous", "fail",    "failed",
                                 "killed", "die",   "death",   "must",   "forbidden", "illegal", "objection",
                                 "unsafe", "risk",  "bad",     "osm",    "tag",       "should"})
            CHECK_MESSAGE(low.find(" " + std::string(word) + " ") == std::string::npos, id << ": " << word);
        CHECK_MESSAGE(low.find('=') == std::string::npos, id);
        CHECK_MESSAGE(low.find('_') == std::string::npos, id);
        CHECK_MESSAGE(text.find('!') == std::string::npos, id);
    }
}

TEST_CASE("the rules that matter most have a question") {
    std::set<std::string> asked;
    for (const auto& [id, text] : questions())
        asked.insert(id);
    CHECK(asked.size() >= 45);
    for (const rules::Rule& rule : rules_of("route-card"))
        if (rule.id.rfind("card-", 0) == 0) CHECK_MESSAGE(asked.count(rule.id) == 1, rule.id);
    // A corrected figure is the answer: questions about a card name no fact of the walk.
    for (const rules::Rule& rule : rules_of("route-card"))
        for (const char* fact : {"{length_m", "{straight_m", "{walk_bearing", "{ascent_m", "{walking_min",
                                 "{card_reference_detail"})
            if (rule.id.rfind("card-", 0) == 0)
                CHECK_MESSAGE(rule.ask.find(fact) == std::string::npos, rule.id);
}

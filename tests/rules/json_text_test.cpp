#include "error.hpp"
#include "rules/json_places.hpp"
#include "rules/json_text.hpp"

#include <doctest/doctest.h>

#include <random>

using namespace waywarden;
using rules::Document;
using rules::Json;

namespace {

/// Step by step: depth, the library's own parser (RFC 8259), keys given twice.
std::optional<Json> step_by_step(const std::string& text) {
    try {
        rules::check_depth(text, "x.json", Document::k_deepest);
        const Json root = Json::parse(text);
        rules::lines_of(text, "x.json");
        return root;
    } catch (const DataError&) {
        return std::nullopt;
    } catch (const Json::exception&) {
        return std::nullopt;
    }
}

std::optional<Json> at_once(const std::string& text) {
    try {
        return Document(text, "x.json").root();
    } catch (const DataError&) {
        return std::nullopt;
    }
}

} // namespace

TEST_CASE("a document is taken as it is step by step, however it is damaged") {
    const std::string sound =
        R"({"a": [1, -2.5e3, true, null, {"b": "\u00e9\"\\ x", "c": {}}], "d": {"e": [[], [[0]]], "f": ""}, "a~/b": false})";
    REQUIRE(at_once(sound) == Json::parse(sound));
    std::mt19937 rng(8259);
    const std::string pieces = R"({}[]",:\ae0-.d19 )";
    int taken = 0, refused = 0;
    for (int round = 0; round < 20000; ++round) {
        std::string text = sound;
        for (auto i = 1 + rng() % 3; i > 0; --i) {
            const std::size_t at = rng() % text.size();
            const char piece = pieces[rng() % pieces.size()];
            switch (rng() % 3) {
            case 0:
                text[at] = piece;
                break;
            case 1:
                text.insert(at, 1, piece);
                break;
            default:
                text.erase(at, 1);
            }
        }
        const auto expected = step_by_step(text), got = at_once(text);
        CAPTURE(text);
        CHECK(got == expected);
        ++(expected ? taken : refused);
    }
    CHECK(taken > 500);
    CHECK(refused > 5000);
}

TEST_CASE("keys given twice, numbers too large and deep nesting are refused wherever they stand") {
    for (const char* text :
         {R"({"a": 1, "a": 1})", R"([[{"b": {"c": 1, "c": 2}}]])", R"({"\u0061": 1, "a": 2})", "1e999",
          "[1, 1e999]", "", " ", "[1,]", "{\"a\"}", "nul", "[1] 2", "\"\xff\""}) {
        CAPTURE(text);
        CHECK_FALSE(step_by_step(text));
        CHECK_FALSE(at_once(text));
    }
    const auto nested = [](int depth) {
        return std::string(static_cast<std::size_t>(depth), '[') +
               std::string(static_cast<std::size_t>(depth), ']');
    };
    CHECK(at_once(nested(Document::k_deepest)));
    CHECK_FALSE(at_once(nested(Document::k_deepest + 1)));
    CHECK_FALSE(at_once(nested(200000)));
}

TEST_CASE("a value knows its place by itself") {
    const Document document("{\"a~/b\": [0,\n {\"c\": 7}],\n \"d\": null}", "x.json");
    const rules::Value root = rules::whole(document);
    const rules::Value seven = root["a~/b"].items().at(1)["c"];
    CHECK(seven.pointer() == "/a~0~1b/1/c"); // RFC 6901, section 3
    CHECK(document.line(seven.pointer()) == 2);
    CHECK(document.line(root["d"].pointer()) == 3);
    CHECK(root.pointer().empty());
    CHECK_THROWS_WITH_AS(seven.refuse("is odd"), "x.json:2: /a~0~1b/1/c: is odd", DataError);
}

#include "error.hpp"
#include "report/result_values.hpp"

#include <doctest/doctest.h>

using namespace waywarden;

TEST_CASE("a count in a result is whole and no larger than can be counted") {
    const auto read = [](const std::string& number) {
        const rules::Document document("{\n \"count\": " + number + "}", "result.json");
        return report::read_count(rules::whole(document)["count"]);
    };
    CHECK(read("0") == 0);
    CHECK(read("12") == 12);
    CHECK(read("2.0") == 2);
    for (const char* number : {"-1", "1.5", "1e10", "1e300"})
        CHECK_THROWS_WITH_AS(read(number), "result.json:2: /count: must be a whole number from 0 to 1e9",
                             DataError);
}

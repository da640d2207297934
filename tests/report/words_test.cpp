#include "report/words.hpp"

#include <doctest/doctest.h>

using namespace waywarden::report;

// Well-formed sequences: The Unicode Standard 15, table 3-7. Control characters: ECMA-48. Directional marks:
// UAX 9.
TEST_CASE("text from files cannot steer a terminal") {
    CHECK(plain("Ørsay Bræ") == "Ørsay Bræ");
    CHECK(plain("a\x1b[2Jb") == "a\uFFFD[2Jb");
    CHECK(plain("a\x7f"
                "b") == "a\uFFFDb");
    CHECK(plain("a\xC2\x9B"
                "31mb") == "a\uFFFD31mb"); // CSI as one C1 character
    CHECK(plain("a\nb\tc\r") == "a b c ");
    CHECK(plain("a\u202Eb\u2066c\u200Fd") == "a\uFFFDb\uFFFDc\uFFFDd");
    CHECK(plain(std::string_view("a\0b", 3)) == "a\uFFFDb");
}

TEST_CASE("bytes that are no UTF-8 are replaced one by one") {
    CHECK(plain("\xC3") == "\uFFFD");
    CHECK(plain("\xC0\xAF") == "\uFFFD\uFFFD");                     // overlong
    CHECK(plain("\xED\xA0\x80") == "\uFFFD\uFFFD\uFFFD");           // surrogate
    CHECK(plain("\xF4\x90\x80\x80") == "\uFFFD\uFFFD\uFFFD\uFFFD"); // beyond 10FFFF
    CHECK(plain("\xE2\x82") == "\uFFFD\uFFFD");
    CHECK(plain("\xE2\x82\xAC") == "€");
    CHECK(plain("\xF0\x9F\xA5\xBE") == "🥾");
}

TEST_CASE("columns count what a terminal shows") {
    CHECK(columns("abc") == 3);
    CHECK(columns("Ørsay") == 5);
    CHECK(columns("e\u0301") == 1);
    CHECK(columns("島") == 2);
    CHECK(columns("\xFF") == 1);
}

TEST_CASE("text is broken at blanks and set in below its label") {
    CHECK(wrapped("- ", "one two three", 9) == "- one two\n  three\n");
    CHECK(wrapped("", "one   two", 80) == "one two\n");
    CHECK(wrapped("x: ", "", 80) == "x: \n");
    CHECK(wrapped("", "a wordlongerthanaline b", 6) == "a\nwordlongerthanaline\nb\n");
}

// Unix times by GNU date 9.1: date -u -d @N.
TEST_CASE("times and dates") {
    CHECK(iso_time(1658262090) == "2022-07-19T20:21:30Z");
    CHECK(iso_time(0) == "1970-01-01T00:00:00Z");
    CHECK(iso_time(-1) == "1969-12-31T23:59:59Z");
    CHECK(iso_time(951782400) == "2000-02-29T00:00:00Z");
    CHECK(date_words(std::int64_t{1658262090}) == "19 July 2022");
    CHECK(date_words("2022-07-20T20:21:30Z") == "20 July 2022");
    CHECK(date_words("2022-13-20T20:21:30Z") == "2022-13-20T20:21:30Z");
    CHECK(date_words("someday") == "someday");
}

TEST_CASE("distances and counts") {
    CHECK(distance_words(0) == "0 m");
    CHECK(distance_words(999.4) == "999 m");
    CHECK(distance_words(999.6) == "1.0 km");
    CHECK(distance_words(12345) == "12.3 km");
    CHECK(km_words(3214) == "3.21");
    CHECK(counted(1, "note", "notes") == "1 note");
    CHECK(counted(0, "note", "notes") == "0 notes");
}

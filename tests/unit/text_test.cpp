/// Columns, lines and what may reach the page.

#include "common/text.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace oventide::text;

TEST_CASE("columns of text") {
    struct Row {
        std::string name;
        std::string text;
        int columns;
    };
    // Widths of single characters: Unicode 14.0, EastAsianWidth.txt (W and F are two columns) and the general
    // categories Mn and Me (none). Joined emoji: this project's reading, see text.hpp.
    const std::vector<Row> rows = {
        {"nothing", "", 0},
        {"plain", "tart", 4},
        {"letters with accents, one character each", "cr\u00e8me br\u00fbl\u00e9e", 12},
        {"the same with combining marks", "cre\u0300me bru\u0302le\u0301e", 12},
        {"several marks on one letter", "o\u0302\u0323\u0301", 1},
        {"a mark with nothing under it", "\u0301", 0},
        {"Chinese", "\u86cb\u7cd5", 4},
        {"kana", "\u30d1\u30f3", 4},
        {"half-width kana", "\uff8a\uff9f\uff9d", 3},
        {"Hangul, ready made", "\ube75", 2},
        {"Hangul from its parts", "\u1107\u1161\u11bc", 2},
        {"full-width letters", "\uff21\uff22", 4},
        {"emoji", "\U0001F950", 2},
        {"emoji with a skin colour", "\U0001F469\U0001F3FD", 2},
        {"emoji joined into one", "\U0001F469\u200D\U0001F373", 2},
        {"a sign turned into an emoji", "\u2764\uFE0F", 2},
        {"a sign as it is", "\u2764", 1},
        {"a flag", "\U0001F1EB\U0001F1F7", 2},
        {"Arabic with a mark", "\u062e\u064f\u0628\u0632", 3},
        {"Devanagari: a joiner there binds no widths", "\u0915\u094d\u200d\u0937", 2},
    };
    for (const Row& row : rows) {
        SUBCASE(row.name.c_str()) { CHECK(columns(row.text) == row.columns); }
    }
}

TEST_CASE("what reaches the page") {
    struct Row {
        std::string name;
        std::string text;
        std::string clean;
        std::string ascii;
    };
    const std::string mark = "\uFFFD";
    const std::vector<Row> rows = {
        {"plain text", "tart case", "tart case", "tart case"},
        {"an escape sequence", "\x1b[2Jgone", mark + "[2Jgone", "?[2Jgone"},
        {"line breaks and tabs", "a\nb\rc\td", "a" + mark + "b" + mark + "c" + mark + "d", "a?b?c?d"},
        {"NUL", std::string("a\0b", 3), "a" + mark + "b", "a?b"},
        {"a C1 control, two bytes", "a\u009bb", "a" + mark + "b", "a?b"},
        {"direction turned round", "a\u202eb\u2066c\u200fd", "a" + mark + "b" + mark + "c" + mark + "d", "a?b?c?d"},
        {"invisible", "a\u200bb\ufeff", "a" + mark + "b" + mark, "a?b?"},
        {"bytes that are not UTF-8", "a\xff\xc3(", "a" + mark + mark + "(", "a?\?("},
        {"cut short", "a\xe2\x82", "a" + mark + mark, "a??"},
        {"too long a form of '/'", "\xc0\xaf", mark + mark, "??"},
        {"half of a surrogate pair", "\xed\xa0\x80", mark + mark + mark, "???"},
        {"accents", "cr\u00e8me br\u00fbl\u00e9e", "cr\u00e8me br\u00fbl\u00e9e", "creme brulee"},
        {"accents as marks", "cre\u0300me", "cre\u0300me", "creme"},
        {"letters that become two", "\u0153uf, Stra\u00dfe", "\u0153uf, Stra\u00dfe", "oeuf, Strasse"},
        {"no near letter", "\u86cb", "\u86cb", "?"},
        {"dashes and quotes", "\u2013\u2019\u201c", "\u2013\u2019\u201c", "-'\""},
    };
    for (const Row& row : rows) {
        SUBCASE(row.name.c_str()) {
            CHECK(clean(row.text) == row.clean);
            CHECK(clean(row.text, true) == row.ascii);
            CHECK(clean(clean(row.text)) == row.clean);
        }
    }
}

TEST_CASE("lines broken between words") {
    using Lines = std::vector<std::string>;
    CHECK(wrap("", 10) == Lines{""});
    CHECK(wrap("   ", 10) == Lines{""});
    CHECK(wrap("one two three", 7) == Lines{"one two", "three"});
    CHECK(wrap("one  two", 20) == Lines{"one two"});
    CHECK(wrap("one two", 3) == Lines{"one", "two"});
    CHECK(wrap("overlong word", 4) == Lines{"over", "long", "word"});
    CHECK(wrap("a overlong", 4) == Lines{"a", "over", "long"});
    CHECK(wrap("\u86cb\u7cd5\u86cb", 4) == Lines{"\u86cb\u7cd5", "\u86cb"});
    CHECK(wrap("\u86cb\u7cd5", 3) == Lines{"\u86cb", "\u7cd5"});
    CHECK(wrap("\u86cb", 1) == Lines{"\u86cb"});
    CHECK(wrap("e\u0301e\u0301e\u0301", 2) == Lines{"e\u0301e\u0301", "e\u0301"});
    CHECK(wrap("one two three four", 5, 2) == Lines{"one two", "three", "four"});
    for (int width = 1; width <= 20; ++width)
        for (const std::string& line :
             wrap("plum puffs \U0001F469\u200D\U0001F373 and cr\u00e8me in \u86cb\u7cd5", width))
            CHECK(columns(line) <= std::max(width, 2));
}

TEST_CASE("filling up") {
    CHECK(pad("ab", 4) == "ab  ");
    CHECK(pad("ab", 4, Align::right) == "  ab");
    CHECK(pad("\u86cb", 4) == "\u86cb  ");
    CHECK(pad("abcde", 4) == "abcde");
}

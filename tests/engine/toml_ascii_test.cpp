// Text beyond ASCII goes past the TOML reader as marks and comes back as it stood: in every kind of quotes, in
// keys and beside comments. What is right stands in TOML 1.0.0 (toml.io), sections "String", "Keys", "Comment".
#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include <toml++/toml.h>

#include "engine/toml_ascii.h"

using namespace beckhand;

namespace {

Result<toml::table> read(const std::string& text) {
    const Result<std::string> ascii = toml_ascii(text, "f.toml");
    if (!ascii) return ascii.error();
    REQUIRE(std::none_of(ascii->begin(), ascii->end(), [](char letter) { return static_cast<unsigned char>(letter) >= 0x80; }));
    try {
        toml::table table = toml::parse(*ascii);
        if (const Outcome done = write_toml_again(table, "f.toml"); !done) return done.error();
        return table;
    } catch (const toml::parse_error& error) {
        return toml_problem("f.toml", error.source().begin.line, error.description());
    }
}

std::string text_of(const std::string& file, const std::string& key = "a") {
    const Result<toml::table> table = read(file);
    if (!table) return table.error().sentence();
    return (*table)[key].value<std::string>().value_or("nothing");
}

std::string said_of(const std::string& file) {
    const Result<toml::table> table = read(file);
    return table ? "read" : table.error().sentence();
}

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

} // namespace

TEST_CASE("letters beyond ASCII read back the same in each kind of quotes, with marks and escapes of the file's own") {
    for (const std::string letters : {"ù", "Mühlgraben", "a`b", "`", "``", "`c3b9`", "`-`", "日本\u3000語", "😀é`", "\u00a0x\u0085"}) {
        CAPTURE(letters);
        CHECK(text_of("a = \"" + letters + "\"") == letters);
        CHECK(text_of("a = '" + letters + "'") == letters);
        CHECK(text_of("a = \"\"\"\n" + letters + "\n" + letters + "\"\"\"") == letters + "\n" + letters);
        CHECK(text_of("a = '''\n" + letters + "\n" + letters + "'''") == letters + "\n" + letters);
        CHECK(text_of("a = \"\"\"x \\\n   " + letters + "\"\"\"") == "x " + letters); // a line that goes on
        CHECK(text_of("# " + letters + "\na = 'b' # " + letters) == "b");
        CHECK(text_of("\"" + letters + "\" = 'b'", letters) == "b");
        CHECK(text_of("'" + letters + "' = 'b'", letters) == "b");
    }
    CHECK(text_of("\xef\xbb\xbf" "a = 'b'") == "b"); // the byte order mark of some editors
    CHECK(text_of(R"(a = "\u0060c3b9\u0060")") == "`c3b9`");
    CHECK(text_of(R"(a = "\U00000060-\u0060")") == "`-`");
    CHECK(text_of(R"(a = "`\u0060`\u00f9\\u0060")") == "```ù\\u0060");
    CHECK(text_of(R"(a = '\u0060`\u0060')") == R"(\u0060`\u0060)");
    CHECK(text_of(R"(a = '''\\u0060''')") == R"(\\u0060)");
}

TEST_CASE("a text of many lines takes no longer for each of its letters than a short one") {
    std::string lines;
    while (lines.size() < 4'000'000) lines += "über das Wehr\n";
    CHECK(text_of("a = '''\n" + lines + "'''") == lines); // a search to its end at every letter would take hours
}

TEST_CASE("keys and texts deep inside are written again, and each node keeps its line") {
    const Result<toml::table> table = read("# für später\n[site.\"Mühle\"]\n\n\"größe\" = [1, { 'ä' = \"ö\" }]\n'`' = 1\n");
    REQUIRE(table.has_value());
    const toml::node* const list = table->at_path("site.Mühle.größe").node();
    REQUIRE(list != nullptr);
    CHECK(list->source().begin.line == 4);
    CHECK((*list->as_array())[1].as_table()->get("ä")->value<std::string>() == "ö");
    const toml::table& mill = *table->at_path("site.Mühle").as_table();
    CHECK(mill.size() == 2);
    CHECK(mill.source().begin.line == 2);
    for (auto&& [key, node] : mill) CHECK(key.source().begin.line == (key.str() == "`" ? 5 : 4));
}

TEST_CASE("random text of letters, marks, backslashes and blanks reads back the same in literal and escaped form") {
    const std::vector<std::string> pieces{"`", "``", "-", "c3b9", "60", "\\", "\\u0060", "\\U00000060", "u0060", "ù",
                                          "語", "😀", " ", "=", "#", "\"", "a"};
    std::mt19937 random(20'240'701);
    for (unsigned round = 0; round < 2'000; ++round) {
        std::string letters, escaped;
        for (unsigned i = 0; i < 1 + round % 12; ++i) {
            const std::string& piece = pieces[random() % pieces.size()];
            letters += piece;
            for (const char letter : piece) {
                if (letter == '`' && random() % 2 == 0) escaped += random() % 2 == 0 ? "\\u0060" : "\\U00000060";
                else escaped += (letter == '"' || letter == '\\' ? "\\" : "") + std::string(1, letter);
            }
        }
        CAPTURE(letters);
        CHECK(text_of("a = '" + letters + "'") == letters);
        CHECK(text_of("a = '''" + letters + "'''") == letters);
        CHECK(text_of("a = \"" + escaped + "\"") == letters);
        CHECK(text_of("a = \"\"\"" + escaped + "\"\"\"") == letters);
        CHECK(text_of("\"" + escaped + "\" = 'b'", letters) == "b");
    }
}

TEST_CASE("what may not stand there is told with its line, whatever letters stand before it") {
    CHECK(says(said_of("# ü\nfirse = 2=\"\"\"====ù"), "f.toml:2: "));
    CHECK(says(said_of("a = '''ü\nü'''\n\nä = 1"), "f.toml:4: A letter stands here that only belongs in quotes"));
    CHECK(says(said_of("a = 1\nb = ü"), "f.toml:2: "));
    CHECK(says(said_of("a = \"\\ü\""), "not first behind a backslash"));
    CHECK(says(said_of("`b = 1"), "only belongs in quotes"));
    CHECK(says(said_of("'ü' = 1\n'ü' = 2"), "f.toml:2: This is not TOML: "));
    CHECK(said_of("'ü' = 1\n'ü' = 2").find('`') == std::string::npos);
    CHECK(says(said_of("'ü' = 1\n\"\\u00fc\" = 2"), "The key \"ü\" is given twice."));
    CHECK(says(said_of("a = 'ü'\nb = '\xfc'"), "f.toml:2: This is not text in UTF-8. Save the file as plain text in UTF-8."));
    CHECK(says(said_of("# \xed\xa0\x80"), "f.toml:1: This is not text in UTF-8."));     // half of a pair of UTF-16
    CHECK(says(said_of("a = 'ü\xc3'"), "f.toml:1: This is not text in UTF-8."));
    CHECK(says(said_of("# " + std::string(5000, 'x')), "f.toml:1: This line is too long"));
}

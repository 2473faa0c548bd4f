// Files that a person hands over, in every way in which they can be bad: for a case, a site and a pack each
// gets a sentence that says where and what to do, exit code 2 (1 for a pack that has errors), and no crash.
#if defined(__unix__)

#include <doctest/doctest.h>

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include <sys/stat.h>
#include <unistd.h>

#include "engine/text_file.h"
#include "tests/support/program.h"

namespace beckhand {
namespace {

using tests::Desk;
using tests::holds;
using tests::Ran;

struct Bad {
    std::string what;      // names the row
    std::string content;
    std::string for_case;  // part of what is said to it as a case, "" where it is fine there
    std::string for_site;
};

std::string nul() { return std::string(1, '\0'); }

const std::vector<Bad>& bad_files() {
    static const std::vector<Bad> files = {
        {"empty", "", "f.toml: There is nothing in this file. A case has [site]", "f.toml: There is nothing in this file. Give at least fall_m"},
        {"only a remark", "# later\n", "There is nothing in this file.", "There is nothing in this file."},
        {"binary", "\x7f" "ELF\xff\xfe" + nul() + nul(), "f.toml:1: ", "f.toml:1: "},
        {"UTF-16", "\xff\xfe[" + nul() + "s" + nul(), "f.toml:1: This is not text in UTF-8. Save the file", "f.toml:1: This is not text in UTF-8."},
        {"another code page", "[site]\nfall_m = 2\nname = \"caf\xe9\"\n", "f.toml:3: This is not text in UTF-8.", "f.toml:3: This is not text in UTF-8."},
        {"a zero byte", "[site]\nfall_m = 2" + nul() + "\n", "f.toml:2: ", "f.toml:2: "},
        {"nested without end", "a = " + std::string(5000, '['), "f.toml:1: ", "f.toml:1: "},
        {"a quotation mark left open", "[site]\nname = \"x\n", "f.toml:2: ", "f.toml:2: "},
        {"a key twice", "[site]\nfall_m = 2\nfall_m = 3\n", "f.toml:3: ", "f.toml:3: "},
        {"a table twice", "[site]\nfall_m = 2\n[site]\nlift_m = 3\n", "f.toml:3: ", "f.toml:3: "},
        {"a whole number beyond 64 bits", "[site]\nfall_m = 99999999999999999999\n", "f.toml:2: ", "f.toml:2: "},
        {"infinity", "[site]\nfall_m = inf\n", "f.toml:2: fall_m: This cannot be right", "Give a number from 0.1 to 100"},
        {"not a number", "[site]\nfall_m = nan\n", "f.toml:2: fall_m: This cannot be right", "f.toml:2: fall_m: "},
        {"far out of range", "[site]\nlift_m = 1e300\n", "f.toml:2: lift_m: ", "f.toml:2: lift_m: "},
        {"below zero", "[site]\nfall_m = -2\n", "f.toml:2: fall_m: ", "f.toml:2: fall_m: "},
        {"text for a figure", "[site]\nfall_m = \"2 m\"\n", "f.toml:2: \"fall_m\" is not a number. Write fall_m = 2.5", "f.toml:2: \"fall_m\" is not a number."},
        {"a date for a figure", "[site]\nfall_m = 2026-11-25\n", "f.toml:2: \"fall_m\" is not a number.", "f.toml:2: \"fall_m\" is not a number."},
        {"a list for a figure", "[site]\nfall_m = [2]\n", "f.toml:2: \"fall_m\" is not a number.", "f.toml:2: \"fall_m\" is not a number."},
        {"a number for text", "[site]\nname = 7\nfall_m = 2\n", "f.toml:2: \"name\" is not text.", "f.toml:2: \"name\" is not text."},
        {"a pipe of nothing known", "[site]\nfall_m = 2\ndrive_material = \"wood\"\n", "f.toml:3: \"wood\" is not known here.", "f.toml:3: \"wood\""},
        {"a number for the site", "\nsite = 5\n", "f.toml:2: \"site\" is not a table.", "f.toml:2: \"site\" is not a table. Write [site]"},
        {"a number for the record", "fall_m = 2\nrecord = 5\n", "f.toml:2: \"record\" is not a table.", "f.toml:2: \"record\" is not a table."},
        {"a slip in a key", "[site]\nfall_n = 2\n", "f.toml:2: \"fall_n\" is not a key here. Did you mean \"fall_m\"?", "Did you mean \"fall_m\"?"},
        {"a site file", "fall_m = 2\nlift_m = 14\n", "neither [site] nor [answers] in this file. A case needs one of them. `beckhand site check`", ""},
        {"a case without a site", "[answers]\nbeat_now = \"steady\"\n", "", "f.toml: There is no site in this file. Give at least fall_m"},
        {"a number for the cause", "cause = 5\n[answers]\n", "f.toml:1: \"cause\" is not text. Write the id of a cause, such as cause = \"screen_matted\"", "no site"},
        {"a cause like no other", "cause = \"gremlins_in_the_works\"\n[answers]\n", "f.toml:1: \"gremlins_in_the_works\" is not a cause of the pack. Its causes stand in", "no site"},
        {"a slip in the cause", "cause = \"screen_mated\"\n[answers]\n", "Did you mean \"screen_matted\"?", "no site"},
        {"an observation like no other", "[answers]\nphase_of_the_moon = \"full\"\n", "f.toml:2: \"phase_of_the_moon\" is not an observation of the pack. The observations stand in", "no site"},
        {"an answer like no other", "[answers]\nbeat_now = \"purple\"\n", "f.toml:2: \"purple\" is not an answer to \"beat_now\". It is one of", "no site"},
        {"a figure of the wrong unit", "[measured]\nQ = \"4 bar\"\n[answers]\n", "f.toml:2: Q: ", "no site"},
        {"an infinite figure", "[measured]\nQ = inf\n[answers]\n", "f.toml:2: \"Q\" of inf", "no site"},
        {"a line without end", "[a" + [] { std::string deep; for (int i = 0; i < 300000; ++i) deep += ".a"; return deep; }() + "]\n", "f.toml:1: This line is too long", "f.toml:1: This line is too long"},
        {"tables without end", "[" + [] { std::string then = "then"; for (int i = 0; i < 400; ++i) then += ".then"; return then; }() + "]\nx = 1\n", "f.toml", "f.toml"},
    };
    return files;
}

} // namespace

TEST_CASE("a bad file is answered with where, what and what to do, and exit code 2") {
    const Desk desk;
    for (const Bad& bad : bad_files()) {
        CAPTURE(bad.what);
        desk.write("f.toml", bad.content);
        for (const auto& [words, wanted] : {std::pair("case f.toml", bad.for_case), std::pair("site check f.toml", bad.for_site),
                                            std::pair("pump f.toml --seconds 5", bad.for_site)}) {
            CAPTURE(words);
            const Ran ran = desk.run(words);
            CAPTURE(ran.err);
            if (wanted.empty()) {
                CHECK((ran.code == 0 || words == std::string("pump f.toml --seconds 5")));
                continue;
            }
            CHECK(ran.code == 2);
            CHECK(ran.out == "");
            CHECK(holds(ran.err, wanted));
            CHECK(holds(ran.err, "f.toml"));
            CHECK(ran.err.size() < 600);
        }
    }
}

TEST_CASE("a byte order mark and Windows line ends do no harm") {
    const Desk desk;
    desk.write("f.toml", "\xef\xbb\xbf[site]\r\nname = \"Quillabeck\"\r\nfall_m = 2\r\nlift_m = 14\r\n[answers]\r\nbeat_now = \"steady\"\r\n");
    CHECK(holds(desk.run("site check f.toml").out, "Quillabeck"));
    CHECK(desk.run("case f.toml").code == 0);
}

TEST_CASE("what is not a readable file is told apart: not there, a folder, too long") {
    const Desk desk;
    desk.write("long.toml", std::string(longest_file + 1, '#'));
    for (const char* const words : {"case", "site check", "pump", "--pack"}) {
        CAPTURE(words);
        const std::string behind = words == std::string("--pack") ? " pack show" : "";
        const auto said = [&](const char* name) {
            const Ran ran = desk.run(std::string(words) + " " + name + behind);
            CHECK(ran.code == 2);
            return ran.err;
        };
        CHECK(holds(said("none.toml"), "none.toml: There is no such file."));
        CHECK(holds(said("typed/none.toml"), "There is no such file."));
        CHECK(holds(said("."), "This is a folder, not a file."));
        CHECK(holds(said("long.toml"), "longer than 16 MB"));
    }
    CHECK(holds(desk.run("--pack typed pack show").err, "typed"));
    CHECK(desk.run("--pack typed pack show").code == 2);
}

TEST_CASE("a file that one may not read is told as such") {
    const Desk desk;
    const std::string path = desk.write("shut.toml", "fall_m = 2\n");
    REQUIRE(chmod(path.c_str(), 0) == 0);
    const std::string said = tests::in_child([&] {
        if (geteuid() == 0 && setuid(65534) != 0) return std::string("no way to give up rights");
        const Result<std::string> text = read_text_file(path);
        return text ? "it was read" : text.error().sentence();
    });
    CHECK(said == path + ": You may not read this file. Ask its owner, or give yourself the right to read it.");
}

TEST_CASE("a case whose finding is not the cause it names says both and ends with 1") {
    const Desk desk;
    const std::string answers = "[answers]\nbeat_now = \"stopped_open\"\nwater_look = \"leafy_or_weedy\"\nscreen_face = \"matted\"\n";
    desk.write("wrong.toml", "cause = \"tank_full\"\n" + answers);
    const Ran none = desk.run("case wrong.toml");
    CHECK(none.code == 2); // no cause of this name
    desk.write("wrong.toml", "cause = \"vessel_flooded\"\n" + answers);
    const Ran wrong = desk.run("case wrong.toml");
    CAPTURE(wrong.out + wrong.err);
    CHECK(wrong.code == 1);
    CHECK(holds(wrong.out, "Expected: vessel_flooded. Found: "));
    const Ran json = desk.run("case wrong.toml --json");
    CHECK(json.code == 1);
    CHECK(holds(json.err, "Expected: vessel_flooded. Found: "));
    CHECK(json.out.back() == '\n');
    CHECK(json.out.front() == '{');
    CHECK(holds(desk.run("case '" SOURCE_FOLDER "/tests/cases/strainer_starved.toml'").out, ". Found.\n"));
}

TEST_CASE("a pack's bad files are findings with file and line, and none of them crashes the linter") {
    const Desk desk;
    std::filesystem::create_directory(desk.file("pack"));
    for (const Bad& bad : bad_files()) {
        CAPTURE(bad.what);
        desk.write("pack/intake.toml", bad.content);
        const Ran ran = desk.run("pack lint pack");
        CHECK(ran.code == 1);
        CHECK(holds(ran.out, "pack.toml: This file is missing."));
        if (!bad.content.empty() && bad.content[0] != '#') CHECK(holds(ran.out, "intake.toml:"));
    }
    std::filesystem::create_directory(desk.file("pack/odd.toml"));
    const Ran folder = desk.run("pack lint pack");
    CHECK(folder.code == 2);
    CHECK(holds(folder.err, "odd.toml: This is a folder, not a file."));
    CHECK(desk.run("pack lint none").code == 2);
}

} // namespace beckhand

#endif

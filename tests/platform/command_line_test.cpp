// The program as a person at a terminal meets it: run as a process, by its words, with lines typed into it.
#if defined(__unix__)

#include <algorithm>
#include <cstdint>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "tests/support/program.h"

namespace beckhand {
namespace {

using tests::Desk;
using tests::holds;
using tests::Ran;

int lines_of(const std::string& text) {
    return static_cast<int>(std::count(text.begin(), text.end(), '\n'));
}

} // namespace

TEST_CASE("an open visit at one site leaves another site's free, and each goes on where it stopped") {
    const Desk desk;
    CHECK(holds(desk.run("visit --site Uppercreek", "12\n").out, "A new site: Uppercreek."));
    const Ran other = desk.run("visit --site Lowercreek", "12\nnote the second\n");
    CHECK(holds(other.out, "A new site: Lowercreek."));
    CHECK(other.code == 0);
    CHECK(holds(desk.run("visit --site ' UPPERCREEK'", "note the first\n").out, "Going on with the visit to Uppercreek."));
    CHECK(lines_of(desk.run("log").out) == 2);

    const Ran asked = desk.run("visit", "3.5\n2\nq\n");
    CHECK(holds(asked.out, "Several visits are open."));
    CHECK(holds(asked.out, "\"3.5\" is not one of the answers here."));
    CHECK(holds(asked.out, "Going on with the visit to"));
    CHECK(holds(desk.run("visit --site Uppercreek", "end\n1\n").out, "Handed on."));
    CHECK(holds(desk.run("visit", "q\n").out, "Going on with the visit to Lowercreek."));
}

TEST_CASE("a site is chosen by number or name; a known name makes no second site, and a number alone no site") {
    const Desk desk;
    CHECK(holds(desk.run("visit", "3rd gully\nend\n3\n").out, "A new site: 3rd gully."));
    const Ran again = desk.run("visit", "2.5\n4294967297\n3RD GULLY\nend\n3\n");
    CHECK(holds(again.out, "\"2.5\" is not one of the answers here. Type 1. Or type a name with a letter in it."));
    CHECK_FALSE(holds(again.out, "A new site"));
    CHECK(holds(again.out, "Left as it is"));
    CHECK(holds(desk.run("visit", "1\nend\n3\n").out, "Left as it is"));
    CHECK(lines_of(desk.run("log").out) == 3);
    CHECK_FALSE(holds(desk.run("visit", "").out, "  2  "));
    // Left without a choice, and a name that no list could show: each says so.
    CHECK(holds(desk.run("visit", "\n").out, "No site was chosen, so no visit was begun. Nothing was saved."));
    CHECK(holds(desk.run("visit", "").out, "No site was chosen"));
    const Ran longest = desk.run("visit", std::string(3000, 'a') + "\n");
    CHECK(holds(longest.out, "This name of a site has 3000 letters; 80 are the most."));
    CHECK_FALSE(holds(longest.out, "A new site"));
    CHECK(desk.run("site set '3rd gully' name " + std::string(81, 'a')).code == 2);
    CHECK(desk.run("site set '3rd gully' name 'Old mill'").code == 0);
}

TEST_CASE("who never used it: from nothing to the first question in five lines at most") {
    const Desk desk;
    const Ran ran = desk.run("visit", "Fernbrook\n12\n");
    CHECK(ran.code == 0);
    CHECK(holds(ran.out, "A new site: Fernbrook. Its figures can be given later: beckhand site figures \"Fernbrook\""));
    CHECK_FALSE(holds(ran.out, "not one of the answers"));
    // What a question has and the first sight has not: somebody may not be able to tell.
    CHECK(holds(ran.out.substr(ran.out.find("What do you see")), "\n  c  "));
}

TEST_CASE("a site's figures are given when there is time: what is typed before the input ends is kept") {
    const Desk desk;
    CHECK(desk.run("visit --site Fernbrook", "12\n").code == 0);
    const Ran first = desk.run("site figures fernbrook", "2,0\n900 m\n14\nq\n");
    CHECK(first.code == 0);
    CHECK(holds(first.out, "cannot be right"));
    CHECK(holds(first.out, "Kept."));
    const Ran again = desk.run("site figures Fernbrook", "\n-\n");
    CHECK(holds(again.out, "now 2 m"));
    CHECK(holds(again.out, "now 14 m"));
    CHECK(holds(desk.run("site figures Fernbrook", "\n\n").out, "Nothing is changed."));
    CHECK_FALSE(holds(desk.run("site figures Fernbrook", "\n\n").out, "now 14 m"));
    CHECK(desk.run("site figures Nowhere", "").code == 2);
}

TEST_CASE("what a note says stays in the record; the list says how the visit was closed and nothing empty") {
    const Desk desk;
    CHECK(desk.run("visit --site Fernbrook", "note the gate is stiff\nend\n3\n").code == 0);
    const std::string list = desk.run("log").out;
    CHECK(holds(list, "Fernbrook"));
    CHECK(holds(list, "  Left as it is\n"));
    CHECK_FALSE(holds(list, "A note"));
    CHECK(holds(desk.run("log " + list.substr(0, 6)).out, "Note: the gate is stiff"));
}

TEST_CASE("a recording that is too short is refused in the same figures that the help gives") {
    const Desk desk;
    const auto wav_of = [](std::uint32_t seconds) { // 16 bit, one channel, 8 kHz, a quiet hiss
        const std::uint32_t rate = 8000, bytes = rate * 2 * seconds;
        std::string wav = "RIFF";
        const auto put = [&](std::uint32_t value, int size) { for (int i = 0; i < size; ++i) wav += static_cast<char>(value >> (8 * i)); };
        put(36 + bytes, 4), wav += "WAVEfmt ", put(16, 4), put(1, 2), put(1, 2), put(rate, 4), put(2 * rate, 4), put(2, 2), put(16, 2);
        wav += "data", put(bytes, 4);
        for (std::uint32_t i = 0; i < bytes / 2; ++i) put((i * 2654435761u >> 20) % 200, 2);
        return wav;
    };
    const auto recording = [&](const char* name, std::uint32_t seconds) { return desk.run(std::string("hear ") + desk.write(name, wav_of(seconds))).out; };
    const std::string how_long = "8 s at least; 30 s are safe, 60 s below 50 beats a minute";
    CHECK(holds(desk.run("hear --help").out, "8 s at least"));
    CHECK(holds(recording("short.wav", 7), "It is too short: " + how_long + "."));
    CHECK_FALSE(holds(recording("long.wav", 9), "too short"));
    const auto refused = [&](const std::string& words) {
        const Ran ran = desk.run("hear " + words);
        CHECK(ran.code == 2);
        CHECK(holds(ran.err, "Record 30 seconds or more beside the pump and save it as WAV."));
        return ran.err;
    };
    CHECK(holds(refused("nowhere.wav"), "nowhere.wav: There is no such file."));
    CHECK(holds(refused(desk.write("head.wav", wav_of(0))), "It holds no sound that can be read as WAV."));
    CHECK(holds(refused(desk.write("words.wav", "no sound at all")), "It holds no sound that can be read as WAV."));
}

TEST_CASE("letters that begin several visits list them; they are not taken for one") {
    const Desk desk;
    CHECK(desk.run("demo --fill").code == 0);
    const Ran all = desk.run("log");
    // Some letter begins two of the demo's visits: there are more of them than hex digits.
    REQUIRE(lines_of(all.out) > 16);
    int several = 0;
    for (const char digit : std::string("0123456789abcdef")) {
        const Ran some = desk.run("log " + std::string(1, digit));
        if (!holds(some.err, "Several visits begin so.")) continue;
        ++several;
        CHECK(some.code == 2);
        CHECK(lines_of(some.out) >= 2);
    }
    CHECK(several > 0);
    const Ran one = desk.run("log " + all.out.substr(0, all.out.find(' ')));
    CHECK(one.code == 0);
    CHECK(holds(one.out, "opened."));
    CHECK(desk.run("log zz").code == 2);
}

TEST_CASE("an option given twice, and a name that is not in the log, are refused in plain words") {
    const Desk desk;
    for (const char* const words : {"--data \"$D/a\" log --data \"$D/b\"", "--units us --units us log", "visit --site A --site B"}) {
        CAPTURE(words);
        const Ran twice = desk.run(words);
        CHECK(twice.code == 2);
        CHECK(holds(twice.err, " is given more than once. Give it once."));
    }
    CHECK(desk.run("visit --site Fernbrook", "12\n").code == 0);
    const Ran nobody = desk.run("erase Nobody --yes");
    CHECK(nobody.code == 2);
    CHECK(holds(nobody.err, "Nobody: There is no such name in the log. Entries were made by: keeper."));
    CHECK_FALSE(holds(nobody.out, "Erased"));
}

TEST_CASE("the log shows the time of the place") {
    const Desk desk;
    CHECK(desk.run("visit --site Fernbrook", "12\n").code == 0);
    const std::string id = desk.run("log").out.substr(0, 6);
    CHECK(holds(desk.run("log " + id, "", "TZ=XXX-10").out, " UTC+10:00, Fernbrook."));
    CHECK(holds(desk.run("log " + id, "", "TZ=UTC").out, " UTC, Fernbrook."));
}

TEST_CASE("what holds for every word is taken before it and after it") {
    const Desk desk;
    CHECK(desk.run("demo --fill --data \"$D/here\"").code == 0);
    const Ran before = desk.run("--data \"$D/here\" log");
    CHECK(lines_of(before.out) > 16);
    CHECK(desk.run("log --data \"$D/here\"").out == before.out);
    CHECK(desk.run("log").out == "The log is empty.\n");
    desk.write("f.toml", "fall_m = 2\nlift_m = 14\n");
    CHECK(desk.run("site check f.toml --units us").out == desk.run("--units us site check f.toml").out);
    CHECK(desk.run("site check f.toml --units us").out != desk.run("site check f.toml").out);
    CHECK(desk.run("site check f.toml --units furlongs").code == 2);
    CHECK(desk.run("log log log").code == 2);
}

TEST_CASE("every command of the README is there and does what a newcomer tries first") {
    const Desk desk;
    std::ifstream readme(SOURCE_FOLDER "/README.md");
    int commands = 0;
    for (std::string line; std::getline(readme, line);) {
        if (line.rfind("beckhand ", 0) != 0) continue;
        std::istringstream words(line.substr(9));
        std::string word;
        words >> word;
        CAPTURE(line);
        CHECK(desk.run(word + " --help").code == 0);
        for (std::size_t at = line.find("--"); at != std::string::npos; at = line.find("--", at + 2)) {
            const std::string option = line.substr(at, line.find_first_of(" ],;", at) - at);
            CHECK(holds(desk.run(word + (word == "site" ? " check" : "") + " --help").out, option));
        }
        ++commands;
    }
    CHECK(commands == 25);
    const std::string file = " '" SOURCE_FOLDER "/tests/cases/strainer_starved.toml'";
    const std::vector<std::string> tried{"case" + file, "case" + file + " --json", "site check" + file,
                                         "pump" + file + " --seconds 5", "pack show", "pack show screen_matted",
                                         "demo --fill", "brief Quillabeck", "brief quillabeck --pdf b.pdf", "log", "picture --screen finding o.png",
                                         "pack build '" SOURCE_FOLDER "/knowledge/pack' new.pack",
                                         "--pack new.pack pack show"};
    for (const std::string& words : tried) {
        CAPTURE(words);
        CHECK(desk.run(words).code == 0);
    }
    CHECK(holds(desk.run("picture --screen nowhere o.png").err, "There are: "));
}

TEST_CASE("the pack's linter finds the pack of the checkout it stands in, and says where it looks") {
    const Desk desk;
    std::filesystem::create_directories(desk.file("shed/knowledge/pack"));
    std::filesystem::create_directories(desk.file("shed/app/kit"));
    desk.write("shed/knowledge/pack/pack.toml", "version = 5\n");
    const Ran here = desk.run("pack lint", "", "cd shed;");
    const Ran below = desk.run("pack lint", "", "cd shed/app/kit;");
    for (const Ran& ran : {here, below}) {
        CHECK(ran.code == 1);
        CHECK(holds(ran.out, "pack.toml:1: \"version\" holds a number."));
        CHECK(holds(ran.err, "knowledge/pack"));
    }
}

TEST_CASE("the trend of a site is told by its name, and as JSON") {
    const Desk desk;
    CHECK(desk.run("demo --fill").code == 0);
    const Ran ran = desk.run("trend vessenhope");
    CHECK(ran.code == 0);
    CHECK(holds(ran.out, "CALLED OUT"));   // the rubber that wore through in spring and early summer
    CHECK(holds(ran.out, "proved repair"));
    CHECK(holds(ran.out, "What is due"));
    CHECK(holds(desk.run("trend Vessenhope --json").out, "\"called_out\": true"));
    CHECK(desk.run("trend Nowhere").code == 2);
}

TEST_CASE("who answers is said at the start of a visit and stands in its record") {
    const Desk desk;
    CHECK(desk.run("visit --site Fernbrook --as newcomer", "12\n").code == 0);
    const std::string id = desk.run("log").out.substr(0, 6);
    CHECK(holds(desk.run("log " + id).out, "From here on answered by a newcomer."));
    CHECK(holds(desk.run("visit", "").out, "Until now a newcomer answered; to go on as keeper say: as keeper"));
    CHECK(desk.run("visit --as helper", "").code == 0);
    CHECK(holds(desk.run("log " + id).out, "From here on answered by a helper."));
    CHECK(desk.run("visit --as stranger").code == 2);
}

TEST_CASE("what the log has taught is listed, and switched off and on") {
    const Desk desk;
    CHECK(holds(desk.run("learned").out, "proved in this log is on. No proved repair counted yet."));
    CHECK(desk.run("demo --fill").code == 0);
    const Ran on = desk.run("learned");
    CHECK(holds(on.out, " proved repairs counted."));
    CHECK(holds(on.out, ": likelier, "));
    CHECK(holds(on.out, "Each cause without a repair here: less likely, 0."));
    CHECK(holds(desk.run("learned off").out, "is off."));
    CHECK(holds(desk.run("learned").out, "is off."));
    CHECK(desk.run("visit --site Quillabeck", "q\n").code == 0);
    const std::string id = desk.run("log").out.substr(0, 6);
    const std::string without = desk.run("log " + id).out;
    CHECK(holds(without, "Repaired here before: "));     // its past is known all the same
    CHECK_FALSE(holds(without, "Proved repairs counted in this log"));
    CHECK(holds(desk.run("learned on").out, "is on."));
    CHECK(desk.run("learned maybe").code == 2);
}

} // namespace beckhand

#endif

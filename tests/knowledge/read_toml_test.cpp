// Reading the TOML: order and lines are kept, and every mistake is told with file, line and a way out.
#include <doctest/doctest.h>

#include "engine/nearest.h"
#include "knowledge/compiler/read_toml.h"
#include "tests/support/tiny_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

// The only finding of the tiny pack after one change.
Finding finding_after(const std::string& from, const std::string& to) {
    const std::vector<SourceFile> files = tiny_files_with(from, to);
    REQUIRE_FALSE(files.empty());
    const Written written = read_toml(files);
    REQUIRE_MESSAGE(written.findings.size() == 1, "findings: ", written.findings.size());
    return written.findings.front();
}

} // namespace

TEST_CASE("the tiny pack reads without a finding, in the order it is written") {
    const Written written = read_toml(tiny_files());
    CHECK(written.findings.empty());
    REQUIRE(written.pack.observations.size() == 3);
    CHECK(written.pack.observations[0].id == "screen_face");
    CHECK(written.pack.observations[1].id == "beat_band"); // not by name: b stands before r and s
    CHECK(written.pack.observations[2].id == "rubber_look");
    CHECK(written.pack.observations[1].part == "waste_valve");
    CHECK(written.pack.causes[0].seen[0].answer == "matted");
    CHECK(written.pack.causes[0].seen[1].answer == "clear");
    CHECK(written.pack.causes[0].seen[2].observation == "beat_band");
    CHECK(written.pack.scale.typical == 8.0);
    REQUIRE(written.pack.changes.size() == 1);
    CHECK(written.pack.changes[0].what == "First pack.");
    REQUIRE(written.pack.impossible.size() == 1);
    CHECK(written.pack.impossible[0].second.answer == "matted");
}

TEST_CASE("everything remembers its line") {
    const Written written = read_toml(tiny_files());
    CHECK(written.where("observation.screen_face") == "intake.toml:1");
    CHECK(written.where("cause.screen_matted") == "intake.toml:19");
    CHECK(written.where("cause.screen_matted.seen.beat_band") == "intake.toml:35");
    CHECK(written.where("cause.screen_matted.fix.steps.1") == "intake.toml:56");
    CHECK(written.where("cause.screen_matted.fix.steps.1.say") == "intake.toml:56");
    CHECK(written.where("cause.unknown.fix") == "cause unknown");
}

TEST_CASE("visit.toml is about the whole installation") {
    std::vector<SourceFile> files = tiny_files();
    files[0].name = "visit.toml";
    CHECK(read_toml(files).pack.observations[0].part == "whole");
}

TEST_CASE("an unknown key is an error and the nearest key is named") {
    const Finding finding = finding_after("tools = [\"rake\"]", "tool = [\"rake\"]");
    CHECK(finding.weight == Finding::Weight::error);
    CHECK(finding.where == "intake.toml:10");
    CHECK(finding.what == "\"tool\" is not a key of an observation.");
    CHECK(finding.todo == "Did you mean \"tools\"?");
    CHECK(finding_after("typical = 8.0", "typcal = 8.0").todo == "Did you mean \"typical\"?");
    CHECK(finding_after("[cause.rubber_worn.proof]\n", "[cause.rubber_worn.proof]\nhappy = true\n").what ==
          "\"happy\" is not a key of a proof.");
}

TEST_CASE("a missing key is an error at the thing that lacks it") {
    const Finding finding = finding_after("minutes = 4\npump = \"either\"", "pump = \"either\"");
    CHECK(finding.where == "intake.toml:1");
    CHECK(finding.what == "an observation has no \"minutes\".");
    CHECK(finding.todo == "Add a line that begins with minutes =.");
    CHECK(finding_after("yes = \"The beat quickens\"\n", "").what == "a check has no \"yes\".");
    CHECK(finding_after("version = \"1.0.0\"\n", "").what == "the file pack.toml has no \"version\".");
}

TEST_CASE("a value of the wrong type is an error that says what it must be") {
    Finding finding = finding_after("minutes = 4\n", "minutes = \"four\"\n");
    CHECK(finding.where == "intake.toml:7");
    CHECK(finding.what == "\"minutes\" holds text.");
    CHECK(finding.todo == "It must be a plain number without quotes.");
    finding = finding_after("ask = \"What covers the strainer?\"", "ask = 3");
    CHECK(finding.todo == "It must be text in quotes.");
    finding = finding_after("tools = [\"rake\"]", "tools = \"rake\"");
    CHECK(finding.what == "\"tools\" holds text.");
    CHECK(finding.todo == "It must be a list of texts in quotes.");
    finding = finding_after("normal = true", "normal = \"yes\"");
    CHECK(finding.todo == "It must be true or false without quotes.");
    finding = finding_after("edges = [0.88, 1.12]", "edges = [0.88, \"1.12\"]");
    CHECK(finding.todo == "It must be a list of numbers.");
    finding = finding_after("per_1000 = 74", "per_1000 = inf");
    CHECK(finding.what == "\"per_1000\" holds a number.");
    finding = finding_after("screen_face = { matted = \"typical\", clear = \"nearly_excluded\" }",
                            "screen_face = \"matted\"");
    CHECK(finding.where == "intake.toml:34");
    CHECK(finding.todo == "Write screen_face = { answer = \"mark\" }.");
}

TEST_CASE("a word that is not one of the words allowed is an error with the nearest one") {
    Finding finding = finding_after("pump = \"either\"", "pump = \"eihter\"");
    CHECK(finding.where == "intake.toml:8");
    CHECK(finding.what == "\"eihter\" is not a word for \"pump\".");
    CHECK(finding.todo == "Did you mean \"either\"?");
    finding = finding_after("place = \"intake\"", "place = \"moon\"");
    CHECK(finding.todo == "Known are: anywhere, pump, intake, drive_line, delivery_line, tank.");
    finding = finding_after("matted = \"typical\"", "matted = \"typicl\"");
    CHECK(finding.where == "intake.toml:34");
    CHECK(finding.what == "\"typicl\" is not a mark.");
    CHECK(finding.todo == "Did you mean \"typical\"?");
}

TEST_CASE("an effect in the pump goes one way, and a severity is two numbers") {
    Finding finding = finding_after("times = 1000 }", "times = 1000, add = 3 }");
    CHECK(finding.where == "intake.toml:28");
    CHECK(finding.what == "An effect in the pump says how far in one way, not 2.");
    finding = finding_after(", times = 1000 }", " }");
    CHECK(finding.what == "An effect in the pump says how far in one way, not 0.");
    CHECK(finding.todo == "Give one of add, times, towards and down_to.");
    finding = finding_after("times = 1000 }", "times = \"much\" }");
    CHECK(finding.what == "\"times\" holds text.");
    finding = finding_after("severity = [0.3, 0.8]", "severity = [0.3]");
    CHECK(finding.where == "intake.toml:19");
    CHECK(finding.what == "The severity is not two numbers.");
}

TEST_CASE("text that is not TOML is an error with its line, and the other files are still read") {
    const std::vector<SourceFile> files = tiny_files_with("group = \"flows\"", "group = flows");
    const Written written = read_toml(files);
    REQUIRE(written.findings.size() == 1);
    CHECK(written.findings[0].where == "intake.toml:2");
    CHECK(written.findings[0].what.find("This is not TOML") == 0);
    CHECK(written.pack.observations.size() == 2);
    // TOML itself forbids a key given twice (TOML 1.0.0, "Keys"), so no answer can be marked twice.
    const Finding twice =
        finding_after("matted = \"typical\"", "matted = \"typical\", matted = \"likelier\"");
    CHECK(twice.where == "intake.toml:34");
}

TEST_CASE("a letter beyond ASCII outside of quotes is told with its line, before the reader sees it") {
    std::vector<SourceFile> files = tiny_files();
    files.push_back({"extra.toml", "# für später\n\xc3\xa4 = 1\n"});
    const Written written = read_toml(files);
    REQUIRE(written.findings.size() == 1);
    CHECK(written.findings.front().where == "extra.toml:2");
    CHECK(written.findings.front().what.find("only belongs in quotes") != std::string::npos);
}

TEST_CASE("a pack without its head says which file is missing") {
    std::vector<SourceFile> files = tiny_files();
    files.pop_back();
    const Written written = read_toml(files);
    REQUIRE(written.findings.size() == 1);
    CHECK(written.findings[0].where == "pack.toml");
}

TEST_CASE("all mistakes are told at once") {
    std::vector<SourceFile> files = tiny_files();
    files[0].text += "\n[observation.other]\nasq = \"?\"\n";
    files[1].text += "\n[kause.x]\n";
    const Written written = read_toml(files);
    CHECK(written.findings.size() ==
          8); // ask, look, minutes, pump, place, answers missing; asq, kause unknown
}

TEST_CASE("the nearest word is found by the least change") {
    // "kitten" to "sitting" takes 3 changes: the usual example, Wagner and Fischer 1974 give the method.
    CHECK(edit_distance("kitten", "sitting") == 3);
    CHECK(edit_distance("", "abc") == 3);
    CHECK(edit_distance("same", "same") == 0);
    CHECK(nearest("scren_face", {"beat_now", "screen_face"}) == "screen_face");
    CHECK(nearest("zzzzzz", {"beat_now", "screen_face"}).empty());
}

// The linter: silent on the tiny pack, and each lint heard when the one thing it looks for goes wrong.
#include <doctest/doctest.h>

#include <fstream>
#include <iterator>

#include "engine/diagnosis/pack_file.h"
#include "knowledge/compiler/compile.h"
#include "knowledge/compiler/describe.h"
#include "knowledge/compiler/lint.h"
#include "knowledge/compiler/words.h"
#include "tests/support/tiny_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

// The weight of the first finding whose sentence holds these words; "error", "warning" or "nothing".
std::string says(const std::vector<Finding>& findings, const std::string& words) {
    for (const Finding& finding : findings) {
        if (finding.sentence().find(words) != std::string::npos) {
            return finding.weight == Finding::Weight::error ? "error" : "warning";
        }
    }
    return "nothing";
}

std::vector<Finding> lint_after(const std::string& from, const std::string& to) {
    const std::vector<SourceFile> files = tiny_files_with(from, to);
    REQUIRE_FALSE(files.empty());
    const Written written = read_toml(files);
    REQUIRE_MESSAGE(written.findings.empty(),
                    (written.findings.empty() ? "" : written.findings.front().sentence()));
    return lint(written);
}

template <class Change>
std::vector<Finding> lint_changed(Change change) {
    Pack pack = tiny_pack();
    change(pack);
    return lint(pack);
}

} // namespace

TEST_CASE("the tiny pack is clean") {
    const std::vector<Finding> findings = lint(read_toml(tiny_files()));
    CHECK_MESSAGE(findings.empty(), lint_text(findings, true));
}

TEST_CASE("ids are unique and well formed, and a former name stays unused") {
    auto findings = lint_changed([](Pack& pack) { pack.causes[1].id = "screen_matted"; });
    CHECK(says(findings, "cause screen_matted: The id \"screen_matted\" is given twice.") == "error");
    findings = lint_changed([](Pack& pack) { pack.causes[1].id = "Rubber-worn"; });
    CHECK(says(findings, "\"Rubber-worn\" is not a well-formed id.") == "error");
    findings = lint_changed([](Pack& pack) { pack.observations[0].answers[1].id = "clear"; });
    CHECK(says(findings, "The answer \"clear\" is given twice.") == "error");
    findings = lint_after("per_1000 = 40", "per_1000 = 40\nwas = [\"screen_matted\"]");
    CHECK(says(findings, "waste_valve.toml:31: Its former name \"screen_matted\" is in use again.") ==
          "error");
    CHECK(lint_after("per_1000 = 40", "per_1000 = 40\nwas = [\"worn\"]").empty());
}

TEST_CASE("the same id in two files is told with both lines") {
    std::vector<SourceFile> files = tiny_files();
    files.push_back({"zz.toml", files[1].text});
    CHECK(says(lint(read_toml(files)), "waste_valve.toml:31 and zz.toml:31: The id \"rubber_worn\"") ==
          "error");
}

TEST_CASE("every reference points at something, and a slip gets the nearest name") {
    CHECK(
        says(lint_after("rubber_look = {", "ruber_look = {"),
             "waste_valve.toml:39: There is no observation \"ruber_look\". Did you mean \"rubber_look\"?") ==
        "error");
    CHECK(says(lint_after("{ matted = \"typical\"", "{ mated = \"typical\""),
               "\"screen_face\" has no answer \"mated\". Did you mean \"matted\"?") == "error");
    CHECK(says(lint_after("cautions = [\"cold_water\"]", "cautions = [\"cold_watr\"]"),
               "There is no caution \"cold_watr\". Did you mean \"cold_water\"?") == "error");
    CHECK(says(lint_after("sources = [\"cp\"]", "sources = [\"pc\"]"), "There is no source \"pc\"") ==
          "error");
    CHECK(says(lint_after("measure = [\"B\"]", "measure = [\"Q\"]"), "There is no measurement \"Q\".") ==
          "error");
    CHECK(says(lint_after("splits_on = \"screen_face\"", "splits_on = \"scren_face\""),
               "pack.toml:24: There is no observation \"scren_face\".") == "error");
    CHECK(says(lint_after("then = \"rubber_worn\"", "then = \"rubber\""), "There is no cause \"rubber\".") ==
          "error");
    CHECK(says(lint_after("quantity = \"beat_ratio\"", "quantity = \"beat_ration\""),
               "There is no quantity \"beat_ration\". Did you mean \"beat_ratio\"?") == "error");
    CHECK(says(lint_after("answers = [\"slow\", \"same\", \"fast\"]",
                          "answers = [\"slow\", \"same\", \"fasd\"]"),
               "There is no answer \"fasd\". Did you mean \"fast\"?") == "error");
    CHECK(says(lint_after("needs = [\"B\"]", "needs = [\"W\"]"), "There is no measurement \"W\".") ==
          "error");
}

TEST_CASE("a stop and a first sight point at answers that are there") {
    CHECK(says(lint_after("fires_on = [{ observation = \"screen_face\", answer = \"matted\" }]",
                          "fires_on = [{ observation = \"screen_face\", answer = \"mated\" }]"),
               "mated") == "error");
    CHECK(says(lint_after("stop = true", "stop = false"), "does not stop the job") == "error");
    CHECK(says(lint_after("observation = \"beat_band\"", "observation = \"beat_ban\""), "beat_ban") ==
          "error");
}

TEST_CASE("bands rise and fit their answers") {
    CHECK(says(lint_after("edges = [0.88, 1.12]", "edges = [1.12, 0.88]"), "The edges do not rise.") ==
          "error");
    CHECK(says(lint_after("edges = [0.88, 1.12]", "edges = [0.88]"), "It has 1 edges and 3 answers.") ==
          "error");
    CHECK(says(lint_after("\"same\", \"fast\"]", "\"same\", \"cannot_tell\"]"), "A figure cannot lead to") ==
          "error");
}

TEST_CASE("an observation has a question, a safe way to look, a price and one way out at its end") {
    CHECK(says(lint_changed([](Pack& pack) { pack.observations[0].look.clear(); }),
               "It has no way to look safely") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.observations[0].minutes = 0; }),
               "Its minutes must be above zero.") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.observations[0].answers.pop_back(); }),
               "exactly one `cannot`") == "error");
    CHECK(says(lint_changed([](Pack& pack) {
                   std::swap(pack.observations[0].answers[1], pack.observations[0].answers[2]);
               }),
               "exactly one `cannot`") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.observations[0].answers[1].cannot = true; }),
               "exactly one `cannot`") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.observations[0].answers.clear(); }),
               "exactly one `cannot`") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.observations[0].sources.clear(); }),
               "No source is named.") == "error");
}

TEST_CASE("a measurement has a unit, errors in order and a range") {
    CHECK(says(lint_after("unit = \"1/s\"", "unit = \"1/min\""), "is not a unit of the pack") == "error");
    CHECK(says(lint_after("careful = { relative = 0.02", "careful = { relative = 0.2"),
               "sloppy no smaller than careful") == "error");
    CHECK(says(lint_after("careful = { relative = 0.02", "careful = { relative = 0"),
               "Its errors must be above zero") == "error");
    CHECK(says(lint_after("least = 0.2", "least = 5"), "least plausible figure") == "error");
}

TEST_CASE("a cause has check, steps, proof, caution and source") {
    CHECK(says(lint_changed([](Pack& pack) { pack.causes[0].check.say.clear(); }), "It has no check.") ==
          "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.causes[0].fix.steps.clear(); }), "The fix has no steps.") ==
          "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.causes[0].proof.see.clear(); }),
               "It has no look that says it worked") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.causes[0].sources.clear(); }), "No source is named.") ==
          "error");
    CHECK(says(lint_changed([](Pack& pack) {
                   pack.causes[0].check.cautions.clear();
                   pack.causes[0].fix.cautions.clear();
                   for (Step& step : pack.causes[0].fix.steps) {
                       step.cautions.clear();
                   }
               }),
               "The fix has no caution.") == "error");
}

TEST_CASE("a cause says what it does in the pump, with names and amounts a pump can have, or why nothing") {
    CHECK(says(lint_after("moves = \"drive.entry_k\"", "moves = \"drive.entri_k\""),
               "intake.toml:28: \"drive.entri_k\" is no part of a pump. Did you mean \"drive.entry_k\"?") ==
          "error");
    CHECK(says(lint_after("of = \"usual_draw\"", "of = \"usual_drow\""),
               "intake.toml:29: \"usual_drow\" is no size of a pump. Did you mean \"usual_draw\"?") ==
          "error");
    CHECK(says(lint_after("times = 1000", "times = 0"), "\"times\" is not between") == "error");
    CHECK(says(lint_after("times = 1000 }", "times = 1000, of = \"drive.volume\" }"), "Leave \"of\" out") ==
          "error");
    CHECK(says(lint_after("down_to = 0.3, of = \"usual_draw\"", "down_to = 0.3"), "does not say of what") ==
          "error");
    CHECK(says(lint_after("moves = \"header.source_m3s\", down_to = 0.3, of = \"usual_draw\"",
                          "moves = \"drive.entry_k\", times = 2"),
               "It moves \"drive.entry_k\" twice.") == "error");
    CHECK(says(lint_after("severity = [0.3, 0.8]", "severity = [0.8, 0.3]"),
               "does not go up within 0 and 1") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.causes[0].in_the_pump.clear(); }),
               "Nothing says what it does to the pump.") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.causes[0].not_in_the_pump = "The pump is sound."; }),
               "It has both in_the_pump and not_in_the_pump.") == "error");
    // Each name and amount may be right, and still no pump is left: the engine's own guard says so.
    CHECK(says(lint_after("moves = \"drive.entry_k\", times = 1000",
                          "moves = \"drive.bore_m\", times = 0.0001"),
               "No pump has such a figure") == "error");
    CHECK(lint_after("in_the_pump = [{ moves = \"waste_valve.leak_area_m2\", add = 0.05, of = "
                     "\"drive.bore_area\" }]",
                     "not_in_the_pump = \"The pump is sound.\"")
              .empty());
}

TEST_CASE("marks carry weight, once each, and something is typical of every cause") {
    CHECK(says(lint_after("clear = \"nearly_excluded\"", "cannot_reach = \"likelier\""),
               "nobody can tell, so it takes no mark") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.causes[0].seen.push_back(pack.causes[0].seen[0]); }),
               "\"screen_face.matted\" is marked twice.") == "error");
    CHECK(says(lint_after("matted = \"typical\"", "matted = \"likelier\""), "No answer is typical of it") ==
          "error");
    CHECK(says(lint_after("{ matted = \"typical\", clear", "{ matted = \"nearly_excluded\", clear"),
               "Every answer of \"screen_face\" is nearly excluded.") == "error");
    // Typical of two answers of one observation is allowed.
    CHECK(lint_after("beat_band = { slow = \"likelier\" }",
                     "beat_band = { slow = \"typical\", same = \"typical\" }")
              .empty());
}

TEST_CASE("what no cause marks is a warning, but a normal answer needs no mark") {
    CHECK(says(lint_after("screen_face = { matted = \"typical\", clear = \"nearly_excluded\" }\nbeat_band = "
                          "{ slow = \"likelier\" }",
                          "beat_band = { slow = \"typical\" }"),
               "No cause marks \"screen_face\"") == "warning");
    CHECK(says(lint_after("{ fast = \"likelier\" }", "{ same = \"likelier\" }"),
               "No cause marks the answer \"beat_band.fast\".") == "warning");
    CHECK(
        says(lint_after("{ matted = \"typical\", clear = \"nearly_excluded\" }", "{ matted = \"typical\" }"),
             "No cause marks") == "nothing");
}

TEST_CASE("two causes with the same marks cannot be told apart") {
    CHECK(says(lint_changed([](Pack& pack) { pack.causes[1].seen = pack.causes[0].seen; }),
               "Nothing that is seen tells it from \"screen_matted\" (0.00 nats).") == "error");
    // The order in which the marks are written makes no difference.
    CHECK(says(lint_changed([](Pack& pack) {
                   pack.causes[1].seen = {pack.causes[0].seen.rbegin(), pack.causes[0].seen.rend()};
               }),
               "Nothing that is seen tells it from") == "error");
}

TEST_CASE("look-alikes are split by an observation on which they differ") {
    CHECK(says(lint_changed([](Pack& pack) {
                   pack.causes[0].seen.push_back({"rubber_look", "grooved", Mark::typical});
                   pack.causes[0].seen.push_back({"rubber_look", "whole", Mark::unlikelier});
                   pack.look_alikes[0].splits_on = "rubber_look";
               }),
               "\"rubber_look\" does not tell \"screen_matted\" from \"rubber_worn\"") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.look_alikes[0].second = "screen_matted"; }),
               "It names the same cause twice.") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.chains[0].then = "screen_matted"; }),
               "A fault cannot bring itself.") == "error");
}

TEST_CASE("a service names what it points at, when it comes round, and what can hurt") {
    CHECK(says(lint_changed([](Pack& pack) { pack.services[0].done_by = {"screen_mated"}; }),
               "There is no cause \"screen_mated\".") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.services[0].sources.clear(); }), "No source is named.") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.services[0].month = 13; }), "a month from 1 to 12") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.services[0].before.clear(); }), "a month from 1 to 12") == "error");
    CHECK(says(lint_changed([](Pack& pack) {
                   pack.services[0].every_months = pack.services[0].month = 0;
                   pack.services[0].before.clear();
               }),
               "neither after some months") == "error");
    CHECK(says(lint_changed([](Pack& pack) { pack.services[0].say = "Climb the ladder."; }), "\"climb\" calls for") ==
          "error");
}

TEST_CASE("a step that can hurt has its caution before it") {
    const std::string step = "{ say = \"Put in a new rubber.\" }";
    // Guarded by what the fix already carries.
    CHECK(lint_after(step, "{ say = \"Push the stem down with a stick.\" }").empty());
    CHECK(says(lint_after(step, "{ say = \"Undo the flange.\" }"),
               "waste_valve.toml:60: \"undo\" calls for a caution, and none is shown before it. Name "
               "stored_pressure") == "error");
    CHECK(says(lint_after(step, "{ say = \"Let down the vessel.\" }"), "\"let ... vessel\" calls for") ==
          "error");
    CHECK(says(lint_after(step, "{ say = \"Carry the pump up.\" }"), "Name lifting") == "error");
    CHECK(says(lint_after(step, "{ say = \"Climb the ladder.\" }"), "\"climb\" calls for") == "error");
    CHECK(says(lint_after(step, "{ say = \"Clean inside the tank.\" }"), "Name confined_space") == "error");
    CHECK(says(lint_after(step, "{ say = \"Soak it in vinegar.\" }"), "Name chemicals") == "error");
    // Words that only look alike.
    CHECK(lint_after(step, "{ say = \"Measure the lift. Note it.\" }").empty());
    CHECK(says(lint_changed([](Pack& pack) {
                   pack.causes[0].fix.cautions.clear();
                   pack.causes[0].fix.steps[1].cautions.clear();
               }),
               "\"start ... pump\" calls for a caution") == "error");
    CHECK(says(lint_changed([](Pack& pack) {
                   pack.causes[1].check.say = "Push the stem down.";
                   pack.causes[1].check.cautions.clear();
               }),
               "\"stem\" calls for a caution") == "error");
}

TEST_CASE("what a step warns of is also read before the first step") {
    CHECK(says(lint_after("cautions = [\"cold_water\", \"pinch\"]", "cautions = [\"cold_water\"]"),
               "intake.toml:56: The step carries the caution \"pinch\", which is not in the cautions of the "
               "fix.") == "error");
}

TEST_CASE("questions, answers and sentences are short") {
    const std::string ask = "ask = \"What covers the strainer?\"";
    CHECK(says(lint_after(ask, "ask = \"What covers the strainer\""), "one question mark") == "error");
    CHECK(says(lint_after(ask, "ask = \"What covers it? Is it ice?\""), "one question mark") == "error");
    CHECK(says(lint_after(ask, "ask = \"Can you see what it is that now lies on the top face of the mesh?\""),
               "The question has 16 words.") == "warning");
    CHECK(says(lint_after(ask,
                          "ask = \"Can you see what it is that now lies on the top face of the mesh at the "
                          "end of the pipe?\""),
               "The question has 22 words.") == "error");
    CHECK(says(lint_after("say = \"Leaves or weed\"", "say = \"Leaves or weed lie on it\""),
               "The answer \"Leaves or weed lie on it\" has 6 words.") == "error");
    const std::string look = "look = \"Look from the bank.\"";
    const std::string ten = "one two six ten one two six ten one two ";
    CHECK(says(lint_after(look, "look = \"Look " + ten + ten + "ten.\""), "has 22 words.") == "warning");
    CHECK(says(lint_after(look, "look = \"Look " + ten + ten + ten + "ten.\""), "has 32 words.") == "error");
    CHECK(says(lint_after(look, "look = \"Investigate deterioration occurring underneath the perforated "
                                "stainless filtration assembly, considering accumulations of sedimentary "
                                "material.\""),
               "reads at school grade") == "warning");
}

TEST_CASE("the reading grade follows its formula") {
    // Kincaid et al. 1975: grade = 0.39 words/sentences + 11.8 syllables/words - 15.59. This text has 2
    // sentences, 10 words and 12 syllables, counted by hand: wa-ter, un-der.
    CHECK(reading_grade("The cold water runs fast. Look under the mesh first.") ==
          doctest::Approx(0.39 * 10 / 2 + 11.8 * 12 / 10 - 15.59).epsilon(1e-12));
    CHECK(reading_grade("") == 0);
    CHECK(syllables_of("valve") == 1);
    CHECK(syllables_of("table") == 2);
    CHECK(syllables_of("delivery") == 4);
    CHECK(words_of("Shut it: 3.5 bar, hand-tight!").size() == 5);
    CHECK(sentences_of("It reads 3.5 bar. Stop! Why?").size() == 3);
}

TEST_CASE("a source nobody names is a warning") {
    CHECK(says(lint_after("[source.cp]", "[source.mem]\ntext = \"from memory\"\n\n[source.cp]"),
               "Nothing names the source \"mem\".") == "warning");
}

TEST_CASE("version, date and scale make sense") {
    CHECK(says(lint_after("version = \"1.0.0\"", "version = \"one\""), "is not three numbers") == "error");
    CHECK(says(lint_after("version = \"1.0.0\"", "version = \"1.1.0\""), "say nothing of version 1.1.0") ==
          "error");
    CHECK(says(lint_after("issued = \"2026-11-25\"", "issued = \"2026-13-25\""), "is not a date") == "error");
    CHECK(says(lint_after("typical = 8.0", "typical = 2.0"), "do not fall from typical") == "error");
    CHECK(says(lint_after("slip = 0.05", "slip = 1.5"), "must lie between 0 and 1") == "error");
}

TEST_CASE("a compiled folder gives a pack that reads back, always the same") {
    const Compiled compiled = compile(tiny_files());
    REQUIRE_MESSAGE(!compiled.bytes.empty(), lint_text(compiled.findings, true));
    CHECK(compile(tiny_files()).bytes == compiled.bytes);
    const Result<Pack> back = read_pack(compiled.bytes, "tiny.pack");
    REQUIRE(back.has_value());
    CHECK(back->hash == compiled.pack.hash);
    const Compiled bad = compile(tiny_files_with("per_1000 = 74", "per_1000 = -1"));
    CHECK(bad.bytes.empty());
    CHECK(lint_text(bad.findings, false) == "intake.toml:19: Its weight per 1000 must be above zero.\n"
                                            "1 error, 0 warnings.\n");
    CHECK_FALSE(read_folder("/no/such/folder").has_value());
}

TEST_CASE("what a cause moves in the pump is described in words") {
    const Pack pack = tiny_pack();
    const std::string matted = describe(pack, "screen_matted").value();
    CHECK(matted.find("drive.entry_k (loss at strainer and pipe mouth, in velocity heads; sound 0.5) becomes "
                      "1000 times what it was") != std::string::npos);
    CHECK(matted.find("goes down to 0.3 of usual_draw (what the pump draws when sound, m3/s)") !=
          std::string::npos);
    CHECK(matted.find("0.3 to 0.8, 1 being the worst") != std::string::npos);
    Pack sound = pack;
    sound.causes[0].in_the_pump.clear();
    sound.causes[0].not_in_the_pump = "More water is used.";
    CHECK(describe(sound, "screen_matted").value().find("nothing changes. More water is used.") !=
          std::string::npos);
}

TEST_CASE("the guide for writers lists every figure and size of the pump, in the same words") {
    std::ifstream file(SOURCE_FOLDER "/knowledge/WRITING.md");
    const std::string guide((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
    const auto listed = [&](std::string_view name, std::string_view words) {
        const std::string row = "| `" + std::string(name) + "` | " + std::string(words) + " |";
        CHECK_MESSAGE(guide.find(row) != std::string::npos, row);
    };
    for (const std::string_view name : parameter_names()) {
        listed(name, parameter_words(name));
    }
    for (const std::string_view name : size_names()) {
        listed(name, size_words(name));
    }
}

TEST_CASE("a thing of the pack is described in words, an unknown id gets the nearest") {
    const Pack pack = tiny_pack();
    CHECK(describe(pack).find("2 causes with 6 marks, 2 fixes with 4 steps") != std::string::npos);
    CHECK(describe(pack).find(pack.hash) != std::string::npos);
    const Result<std::string> cause = describe(pack, "screen_matted");
    REQUIRE(cause.has_value());
    CHECK(cause->find("What covers the strainer? Leaves or weed: typical") != std::string::npos);
    CHECK(cause->find("2. Start the pump by hand. [The waste valve pinches]") != std::string::npos);
    CHECK(describe(pack, "beat_band").value().find("from 0.88 up to 1.12 -> The same") != std::string::npos);
    CHECK(describe(pack, "B").value().find("Error with care: 2 %; in a hurry: 8 %") != std::string::npos);
    CHECK(describe(pack, "cold_water").value().find("This stops the job") != std::string::npos);
    const Result<std::string> unknown = describe(pack, "screen_mated");
    REQUIRE_FALSE(unknown.has_value());
    CHECK(unknown.error().todo == "Did you mean \"screen_matted\"?");
}

TEST_CASE("the shipped pack has no error and reads back from its file") {
    const Result<std::vector<SourceFile>> files = read_folder(SOURCE_FOLDER "/knowledge/pack");
    REQUIRE(files.has_value());
    CHECK(files->front().name == "visit.toml");
    const Compiled compiled = compile(*files);
    CHECK_MESSAGE(!has_errors(compiled.findings), lint_text(compiled.findings, false));
    CHECK_MESSAGE(compiled.findings.empty(), lint_text(compiled.findings, true));  // each warning waived by name
    REQUIRE_FALSE(compiled.bytes.empty());
    const Result<Pack> back = read_pack(compiled.bytes, "shipped.pack");
    REQUIRE(back.has_value());
    CHECK(content_hash(*back) == compiled.pack.hash);
    CHECK(back->causes.size() == compiled.pack.causes.size());
}

// Each fault that the linter is there for, planted in a pack that has none, and found; and the waivers.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "knowledge/compiler/compile.h"
#include "knowledge/compiler/lint.h"
#include "knowledge/compiler/words.h"
#include "tests/support/shipped_pack.h"
#include "tests/support/tiny_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;
using tests::tiny_files;
using tests::tiny_files_with;
using tests::tiny_pack;

/// "error", "warning", "note" or "nothing": the weight of the first finding with these words.
std::string says(const std::vector<Finding>& findings, const std::string& words) {
    for (const Finding& finding : findings) {
        if (finding.sentence().find(words) == std::string::npos) continue;
        return finding.weight == Finding::Weight::error     ? "error"
               : finding.weight == Finding::Weight::warning ? "warning"
                                                            : "note";
    }
    return "nothing";
}

/// The shipped pack, or the tiny one, with one thing changed.
template <class Change>
std::vector<Finding> shipped_with(Change change) {
    Pack pack = shipped_pack();
    change(pack);
    return lint(pack);
}
template <class Change>
std::vector<Finding> tiny_with(Change change) {
    Pack pack = tiny_pack();
    change(pack);
    return lint(pack);
}

Cause& cause_of(Pack& pack, const std::string& id) {
    return *std::find_if(pack.causes.begin(), pack.causes.end(), [&](const Cause& cause) { return cause.id == id; });
}
Observation& observation_of(Pack& pack, const std::string& id) {
    return *std::find_if(pack.observations.begin(), pack.observations.end(),
                         [&](const Observation& observation) { return observation.id == id; });
}

/// The shipped pack has warnings only of the kind that waived.toml lets stand.
TEST_CASE("nothing of what is planted here is found where it was not planted") {
    for (const Finding& finding : lint(shipped_pack())) {
        CHECK_MESSAGE(finding.rule == "unmarked_answer", finding.sentence());
    }
}

TEST_CASE("a cause that no answers lead to") {
    // It shows just what three others show, and is far rarer.
    const auto findings = shipped_with([](Pack& pack) {
        for (const char* const id : {"copy_a", "copy_b", "copy_c"}) {
            Cause copy = cause_of(pack, "tank_leaks");
            copy.id = id;
            pack.causes.push_back(copy);
        }
        cause_of(pack, "tank_leaks").per_1000 = 0.01;
    });
    CHECK(says(findings, "cause tank_leaks: No answers lead to it") == "error");
    CHECK(says(findings, "cause copy_a: No answers lead to it") == "nothing");
}

TEST_CASE("two causes that nothing tells apart, that little does, and twins with one repair") {
    const auto copied = [](double marks_left, const std::string& fix) {
        return shipped_with([&](Pack& pack) {
            Cause copy = cause_of(pack, "drive_short");
            copy.id = "drive_other";
            copy.fix.id = fix.empty() ? copy.fix.id : fix;
            copy.seen.resize(static_cast<std::size_t>(static_cast<double>(copy.seen.size()) * marks_left));
            pack.causes.push_back(copy);
        });
    };
    CHECK(says(copied(1, "another_fix"), "cause drive_other: Nothing that is seen tells it from \"drive_short\" (0.00 nats)") ==
          "error");
    CHECK(says(copied(1, ""), "cause drive_other: It is hardly told from \"drive_short\"") == "note");
    // One mark apart.
    const auto little = shipped_with([](Pack& pack) {
        Cause copy = cause_of(pack, "drive_short");
        copy.id = "drive_other";
        copy.fix.id = "another_fix";
        copy.seen.push_back({"ice_signs", "at_pump", Mark::likelier});
        pack.causes.push_back(copy);
    });
    CHECK(says(little, "cause drive_other: Little that is seen tells it from \"drive_short\"") == "warning");
}

TEST_CASE("an observation nothing uses, and an answer no cause marks") {
    const auto findings = shipped_with([](Pack& pack) {
        Observation extra = observation_of(pack, "silt_depth");
        extra.id = "colour_of_the_box";
        pack.observations.push_back(extra);
        observation_of(pack, "bubbles").answers.insert(observation_of(pack, "bubbles").answers.begin(),
                                                       Answer{"now_and_then", "Now and then"});
    });
    CHECK(says(findings, "No cause marks \"colour_of_the_box\"") == "warning");
    CHECK(says(findings, "No cause marks the answer \"bubbles.now_and_then\".") == "warning");
}

TEST_CASE("weights that contradict each other") {
    CHECK(says(shipped_with([](Pack& pack) {
                   cause_of(pack, "screen_matted").seen.push_back({"screen_face", "matted", Mark::unlikelier});
               }),
               "\"screen_face.matted\" is marked twice.") == "error");
    const auto both = shipped_with([](Pack& pack) {
        cause_of(pack, "waste_jammed_shut").seen.push_back({"waste_splash", "usual_bursts", Mark::typical});
    });
    CHECK(says(both, "cause waste_jammed_shut: \"beat_now.stopped_shut\" and \"waste_splash.usual_bursts\" are both typical") ==
          "error");
    const auto left_out = shipped_with([](Pack& pack) {
        std::erase_if(cause_of(pack, "no_head_yet").seen, [](const Seen& seen) { return seen.observation == "waste_splash"; });
    });
    CHECK(says(left_out, "\"beat_now.stopped_shut\" is typical of it and cannot be with \"waste_splash.usual_bursts\", which it "
                         "leaves normal") == "warning");
}

TEST_CASE("a fix without cautions, steps or proof") {
    CHECK(says(tiny_with([](Pack& pack) { pack.causes[0].fix.cautions.clear(); }), "The fix has no caution.") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.causes[0].fix.steps.clear(); }), "The fix has no steps.") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.causes[0].proof.see.clear(); }), "It has no look that says it worked") ==
          "error");
}

TEST_CASE("a question without a way to say that nobody can tell, and a missing source") {
    CHECK(says(tiny_with([](Pack& pack) { pack.observations[1].answers.pop_back(); }), "exactly one `cannot`") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.observations[1].sources.clear(); }), "No source is named.") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.measurements[0].sources.clear(); }), "No source is named.") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.impossible[0].sources.clear(); }), "No source is named.") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.sources[0].text.clear(); }), "It has no words (text).") == "error");
}

TEST_CASE("text too hard to read, and text too long for a phone") {
    CHECK(says(tiny_with([](Pack& pack) {
                   pack.causes[0].say = "Accumulated vegetation obstructs the filtration apparatus, considerably "
                                        "diminishing the volumetric availability of irrigation water.";
               }),
               "reads at school grade") == "warning");
    const auto long_text = [](std::size_t letters) {
        std::string text;
        while (text.size() + 20 < letters) text += "Rake it off. ";
        text += std::string(letters - text.size() - 1, 'a') + ".";
        return text;
    };
    CHECK(says(tiny_with([&](Pack& pack) { pack.observations[0].look = long_text(221); }), "has 221 letters.") == "warning");
    CHECK(says(tiny_with([&](Pack& pack) { pack.observations[0].look = long_text(220); }), "letters.") == "nothing");
    CHECK(says(tiny_with([](Pack& pack) { pack.causes[0].fix.steps[0].say = std::string(121, 'a'); }), "has 121 letters.") ==
          "warning");
}

TEST_CASE("bands with a gap or an overlap") {
    CHECK(says(tiny_with([](Pack& pack) { pack.observations[1].bands->edges = {1.12, 0.88}; }), "The edges do not rise.") ==
          "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.observations[1].bands->bands = {"slow", "same", "slow"}; }),
               "The answer \"slow\" stands for two bands.") == "error");
    CHECK(says(tiny_with([](Pack& pack) {
                   pack.observations[1].bands->bands = {"slow", "same"};
                   pack.observations[1].bands->edges = {0.88};
               }),
               "No figure leads to the answer \"fast\".") == "error");
}

TEST_CASE("a cause that wins with no answers, or with all of them normal") {
    CHECK(says(shipped_with([](Pack& pack) { cause_of(pack, "screen_matted").per_1000 = 2000; }),
               "cause screen_matted: Before anything is asked its repair holds half") == "warning");
    CHECK(says(shipped_with([](Pack& pack) {
                   Cause quiet = cause_of(pack, "screen_matted");
                   quiet.id = "quiet_fault";
                   quiet.seen = {{"water_temp", "near_0", Mark::typical}};
                   for (const Observation& one : pack.observations) {
                       for (const Answer& answer : one.answers) {
                           if (answer.normal) quiet.seen.push_back({one.id, answer.id, Mark::typical});
                       }
                   }
                   quiet.per_1000 = 1000;
                   pack.causes.push_back(quiet);
               }),
               "cause quiet_fault: With every answer normal it is still the likeliest") == "warning");
}

TEST_CASE("two questions that say the same, and are in no group") {
    const auto twice = [](const std::string& group) {
        return shipped_with([&](Pack& pack) {
            Observation same = observation_of(pack, "tail_gap");
            same.id = "tail_again";
            same.group = group;
            observation_of(pack, "tail_gap").group = group;
            pack.observations.push_back(same);
            for (Cause& cause : pack.causes) {
                const std::vector<Seen> seen = cause.seen;
                for (Seen mark : seen) {
                    if (mark.observation != "tail_gap") continue;
                    mark.observation = "tail_again";
                    cause.seen.push_back(mark);
                }
            }
        });
    };
    CHECK(says(twice(""), "observation tail_again: It says the same as \"tail_gap\"") == "warning");
    CHECK(says(twice("tail"), "It says the same as") == "nothing");
}

TEST_CASE("what is impossible points at answers that are there and can be seen at one moment") {
    CHECK(says(tiny_with([](Pack& pack) { pack.impossible[0].first.answer = "fasd"; }),
               "\"beat_band\" has no answer \"fasd\". Did you mean \"fast\"?") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.impossible[0].first.observation = "beat_ban"; }),
               "There is no observation \"beat_ban\".") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.impossible[0].second = {"beat_band", "slow"}; }), "answers to one question") ==
          "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.impossible[0].second = {"rubber_look", "grooved"}; }),
               "are never seen at one moment") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.impossible.push_back(pack.impossible[0]); }), "impossible twice") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.impossible[0].second.answer = "cannot_reach"; }), "excludes nothing") ==
          "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.impossible[0].why.clear(); }), "It does not say why") == "error");
}

TEST_CASE("a change log begins with this version and falls from there") {
    CHECK(says(tiny_with([](Pack& pack) { pack.changes.clear(); }), "say nothing of version 1.0.0") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.changes.push_back(pack.changes[0]); }), "do not fall") == "error");
    CHECK(says(tiny_with([](Pack& pack) { pack.changes[0].date = "yesterday"; }), "is not a date") == "error");
}

// --- waivers ---

TEST_CASE("a warning is let stand by its name with a reason, and by nothing else") {
    const std::string unused = "[source.mem]\ntext = \"from memory\"\n\n[source.cp]";
    const auto linted = [&](const std::string& waiver) {
        std::vector<SourceFile> files = tiny_files_with("[source.cp]", unused);
        if (!waiver.empty()) files.push_back({"waived.toml", waiver});
        const Written written = read_toml(files);
        REQUIRE_MESSAGE(written.findings.empty(), (written.findings.empty() ? "" : written.findings[0].sentence()));
        return lint(written);
    };
    const auto waiver = [](const std::string& rule, const std::string& what, const std::string& why) {
        return "[[waived]]\nrule = \"" + rule + "\"\nwhat = \"" + what + "\"\nwhy = \"" + why + "\"\n";
    };
    CHECK(says(linted(""), "(warning: unused_source, source.mem)") == "warning");
    CHECK(linted(waiver("unused_source", "source.mem", "Kept for the next version.")).empty());
    CHECK(says(linted(waiver("unused_source", "source.mem", "")), "without a reason") == "error");
    CHECK(says(linted(waiver("unused_source", "source.men", "Kept.")), "waived.toml:1: No warning \"unused_source\"") == "error");
    CHECK(says(linted(waiver("unused_caution", "source.mem", "Kept.")), "No warning \"unused_caution\"") == "error");
}

TEST_CASE("an error is never waived") {
    std::vector<SourceFile> files = tiny_files_with("sources = [\"cp\"]", "sources = [\"pc\"]");
    files.push_back({"waived.toml", "[[waived]]\nrule = \"\"\nwhat = \"\"\nwhy = \"Because.\"\n"});
    CHECK(says(lint(read_toml(files)), "There is no source \"pc\"") == "error");
}

// --- how hard a text is to read ---

TEST_CASE("published: the reading grade agrees with a worked example and with GNU style") {
    // "The Australian platypus ..." has 13 words and 24 syllables, grade 11.3: the worked example of the formula in
    // common use (Kincaid et al. 1975: 0.39 words/sentence + 11.8 syllables/word - 15.59; the example from memory).
    CHECK(reading_grade("The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.") ==
          doctest::Approx(11.3).epsilon(0.01));
    // GNU style 1.11 (Debian package diction) prints Kincaid 0.2 and 1.8 for these two; it counts syllables its own way.
    CHECK(std::abs(reading_grade("Rake it from the bank. Shut the drive gate before a hand goes near the pipe mouth.") - 0.2) <
          0.7);
    CHECK(std::abs(reading_grade("The beat slows over days, then the waste valve rests open with a thin pour. Use a stout "
                                 "stick on the stem head and stand to one side. Very large rams can need a lever.") -
                   1.8) < 0.7);
    // One sentence of six one-syllable words: 0.39 x 6 + 11.8 - 15.59 = -1.45.
    CHECK(reading_grade("The cat sat on the mat.") == doctest::Approx(-1.45).epsilon(1e-9));
}

} // namespace
} // namespace beckhand

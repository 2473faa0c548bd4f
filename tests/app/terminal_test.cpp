// The visit at a terminal: what a typed line means, what is shown, and what stays in the log.
#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <sstream>

#include "app/app.h"
#include "app/log/record_text.h"
#include "app/terminal/visit.h"
#include "app/terminal/visit_said.h"
#include "app/terminal/visit_text.h"
#include "engine/diagnosis/steps.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

int count_of(const std::string& text, const std::string& part) {
    int count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
    return count;
}

/// A program over a log in memory, at a visit to a site that has a record.
struct Creek {
    Store store = std::move(*Store::open(":memory:"));
    std::int64_t ms = 1'764'072'000'000; // 25 Nov 2025 12:00 UTC, by `date -d @1764072000`
    std::uint8_t ids = 0;
    std::unique_ptr<App> app;

    Creek() {
        SiteRow row;
        row.id = "5b0e7d31c2f849a6b7d0e1f2a3c4d5e6";
        row.site.name = "Quillabeck";
        row.site.fall = metres(2);
        row.site.lift = metres(14);
        row.site.record.beat = beats_per_minute(50);
        row.site.record.waste = litres_per_minute(40);
        row.site.record.delivered = litres_per_minute(4);
        store.save_site(row, Instant{ms}, [](const Outcome& saved) { REQUIRE(saved.has_value()); });
        app = std::make_unique<App>(shipped_pack(), Services{&store, [this] { return Instant{ms += 60'000}; },
                                                             [this] {
                                                                 std::array<std::uint8_t, 16> bytes{};
                                                                 bytes[0] = ++ids;
                                                                 return bytes;
                                                             }});
        app->start();
        app->act(StartVisit{row.id});
    }
    const Scene& scene() const { return app->state().scene; }
    void say(Happening what) { app->act(Say{std::move(what)}); }
    /// What the terminal prints for these lines; it is left after them.
    std::string type(const std::string& lines) {
        std::istringstream in(lines);
        std::ostringstream out;
        CHECK(run_terminal(*app, in, out) == 0);
        return out.str();
    }
    std::string screen() {
        ToldCautions told;
        return scene_text(app->state(), app->pack(), told);
    }
    void at_fix(const std::string& cause) {
        say(Began{});
        say(FixChosen{cause});
        say(Checked{cause, CheckResult::yes});
        REQUIRE(scene().stage == Stage::fix);
    }
    void at_proof(const std::string& cause) {
        at_fix(cause);
        say(FixFinished{cause});
        REQUIRE(scene().stage == Stage::proof_measure);
    }
    /// Begins, says "cannot" to every question, up to the first figure that is asked for.
    void at_measure() {
        say(Began{});
        for (int i = 0; i < 60 && scene().stage != Stage::measure; ++i) {
            if (scene().stage == Stage::finding) say(SetAside{app->pack().causes[*scene().cause].id, Aside::not_now});
            else type("c\n");
        }
        REQUIRE(scene().stage == Stage::measure);
    }
};

} // namespace

TEST_CASE("a number is read strictly, and what is refused says which numbers there are") {
    CHECK(*chosen_number("3", 8) == 3);
    CHECK(*chosen_number("08", 8) == 8);
    for (const char* const wrong : {"2.5", "3rd gully", "4294967297", "0", "9", "-1", "+1", "1e0", "1 2", "", "0x1"}) {
        CAPTURE(wrong);
        const Result<int> number = chosen_number(wrong, 8);
        REQUIRE_FALSE(number.has_value());
        CHECK(holds(number.error().sentence(), "Type a whole number from 1 to 8."));
    }
}

TEST_CASE("a line that is no answer leaves the question where it is") {
    Creek creek;
    creek.type("12\n");
    REQUIRE(creek.scene().stage == Stage::ask);
    const auto before = creek.app->state().events.size();
    for (const char* const wrong : {"2.5", "2nd", "4294967298", "maybe", "-2"}) {
        CAPTURE(wrong);
        CHECK(holds(creek.type(std::string(wrong) + "\n"), "\"" + std::string(wrong) + "\" is not one of the answers here."));
    }
    CHECK(creek.app->state().events.size() == before);
}

TEST_CASE("all that is seen at first is told in one line, but nothing that excludes another") {
    Creek creek;
    for (const char* const wrong : {"1 2", "5 2", "8 1", "5 12", "1 99", "1 x", "1.5", ","}) { // 1, 2: the valve hangs open, rests shut; 5, 8: it runs; 12: none
        CAPTURE(wrong);
        creek.type(std::string(wrong) + "\n");
        CHECK(creek.scene().stage == Stage::first_sight);
    }
    CHECK(holds(creek.type("1 2\n"), "cannot both be"));
    CHECK(holds(creek.type("5 2\n"), "\"The waste valve rests shut, all is quiet\" and \"It beats, but little water arrives\" cannot both be."));
    creek.type(" 5, 8 9\n"); // less at the tank, it knocks, it leaks: three complaints that may all be
    CHECK(creek.scene().visit.began);
    REQUIRE(creek.scene().visit.told.size() == 3);
    CHECK(creek.scene().visit.told[1].answer == "noise_or_shaking");
    Creek other;
    other.type("3 5\n"); // of two questions
    CHECK(other.scene().visit.answer_to("beat_now")->answer == "flutter");
    CHECK(other.scene().visit.answer_to("complaint")->answer == "less_at_tank");
}

TEST_CASE("capitals, padding and a carriage return do not matter") {
    Creek creek;
    creek.type("  12 \r\n");
    REQUIRE(creek.scene().stage == Stage::ask);
    const std::string asked = creek.app->pack().observations[*creek.scene().observation].id;
    creek.type(" C \r\n");
    const Answered* given = creek.scene().visit.answer_to(asked);
    REQUIRE(given != nullptr);
    CHECK(find_answer(*find_observation(shipped_pack(), asked), given->answer)->cannot);
    CHECK(holds(creek.type("H\n"), "People get this wrong"));
    creek.type("NOTE The Gate is stiff \n");
    REQUIRE(creek.scene().visit.notes.size() == 1);
    CHECK(creek.scene().visit.notes[0] == "The Gate is stiff");
    CHECK(holds(creek.type("note\n"), "Write the note behind the word"));
}

TEST_CASE("a visit can be closed before its end, and only as one of the ways that are listed") {
    Creek creek;
    creek.type("12\n");
    CHECK(holds(creek.type("end\nno\n"), "Close the visit as:"));
    CHECK_FALSE(creek.scene().visit.closed);
    CHECK(holds(creek.type("END\n1\n"), "closed and in the log: Handed on."));
    CHECK(creek.scene().visit.closed == Closing::handed_on);
}

TEST_CASE("where a figure is wanted the rough answer is offered beside it, and taken") {
    Creek creek;
    creek.at_measure();
    const Observation& settles = shipped_pack().observations[*creek.scene().observation];
    CHECK(holds(creek.screen(), "Say it roughly: " + settles.ask));
    CHECK(holds(creek.screen(), "  r1  " + settles.answers[0].say));
    CHECK(holds(creek.type("r99\n"), "not one of the answers"));
    creek.type("R1\n");
    REQUIRE(creek.scene().visit.answer_to(settles.id) != nullptr);
    CHECK(creek.scene().visit.answer_to(settles.id)->answer == settles.answers[0].id);
}

TEST_CASE("how at a figure of the proof says how it is measured, with its cautions in full") {
    Creek creek;
    creek.at_proof("screen_matted");
    creek.type("c\n"); // the delivered flow, which needs no caution
    REQUIRE(creek.scene().stage == Stage::proof_measure);
    const Measurement& how = shipped_pack().measurements[*creek.scene().measurement];
    const std::string said = creek.type("h\n");
    CHECK(count_of(said, how.how) == 2); // on the screen and again when asked for
    REQUIRE_FALSE(how.cautions.empty());
    CHECK(count_of(said, find_caution(shipped_pack(), how.cautions[0])->say) == 2);
}

TEST_CASE("a fix is ended once each of its steps is ticked or skipped, and its record says how many were done") {
    Creek creek;
    creek.at_fix("screen_matted");
    const std::size_t count = find_cause(shipped_pack(), "screen_matted")->fix.steps.size();
    REQUIRE(count == 6);
    CHECK(holds(creek.type("1\n3\n4\ndone\n"), "3 steps left: 2, 5 and 6."));
    CHECK(creek.scene().stage == Stage::fix);
    CHECK(holds(creek.type("skip 2\n6\ndone\n"), "1 step left: 5."));
    CHECK(creek.scene().stage == Stage::fix);
    creek.type("skip rest\ndone\n");
    CHECK(creek.scene().stage == Stage::proof_measure);
    const std::vector<std::string> lines = record_lines(creek.app->pack(), creek.app->state().events, Units::metric, {});
    CHECK(holds(lines.back(), "Fix gone through: Intake strainer matted over. 4 of 6 steps done. Skipped: steps 2 and 5."));
}

TEST_CASE("the keys are told for the asking, and cannot tell only where it can be said") {
    Creek creek;
    creek.at_measure();
    CHECK(holds(creek.type("help\n"), "c cannot tell"));
    Creek mending;
    mending.at_fix("screen_matted");
    for (const char* const asked : {"help\n", "?\n"}) {
        CHECK(holds(mending.type(asked), "h how, cautions in full"));
        CHECK_FALSE(holds(mending.type(asked), "c cannot tell"));
    }
}

TEST_CASE("a step left out that has cautions is named with them before each step that follows") {
    const auto& causes = shipped_pack().causes;
    const auto found = std::find_if(causes.begin(), causes.end(), [](const Cause& one) { return one.fix.id == "clear_snifter"; });
    REQUIRE(found != causes.end());
    const Step& first = found->fix.steps[0];
    REQUIRE_FALSE(first.cautions.empty());
    Creek creek;
    creek.at_fix(found->id);
    const std::string said = creek.type("skip 1\n");
    CHECK(holds(said, "[-] 1. " + first.say));
    CHECK(holds(said, skipped_guard_words));
    CHECK(holds(creek.type("2\n"), skipped_guard_words));
    CHECK_FALSE(holds(creek.type("1\n"), skipped_guard_words));   // done after all
}

TEST_CASE("a fix of which every step is skipped is ended only when the person says so once more") {
    Creek creek;
    creek.at_fix("screen_matted");
    creek.type("skip rest\n");
    CHECK(holds(creek.type("done\nno\n"), "Every step is left out - really done?"));
    CHECK(creek.scene().stage == Stage::fix);
    creek.type("done\nyes\n");
    CHECK(creek.scene().stage == Stage::proof_measure);
    creek.say(*take_back(creek.scene().visit));
    CHECK_FALSE(holds(creek.type("1\ndone\n"), "really done"));
    CHECK(creek.scene().stage == Stage::proof_measure);
}

TEST_CASE("a step that is ticked already is not set down again") {
    Creek creek;
    creek.at_fix("screen_matted");
    creek.type("1\nskip 2\n");
    const std::size_t before = creek.app->state().events.size();
    CHECK(holds(creek.type("1\n"), "Step 1 is already ticked."));
    CHECK(holds(creek.type("skip 2\n"), "Step 2 is already skipped."));
    CHECK(creek.app->state().events.size() == before);
    creek.type("2\nall\n"); // done after all, and the rest of them once each
    CHECK(creek.app->state().events.size() == before + 5);
    CHECK(holds(creek.type("all\n"), "No step is left."));
    CHECK(creek.app->state().events.size() == before + 5);
}

TEST_CASE("back at the first question takes back what was seen first, as it was said: in one line") {
    Creek creek;
    CHECK(holds(creek.type("b\n"), "There is nothing to take back."));
    creek.type("3 5\n");
    REQUIRE(creek.scene().visit.began);
    const std::string said = creek.type("b\n");
    CHECK(holds(said, "Taken back: what you saw first."));
    CHECK_FALSE(holds(said, "Asking began"));
    CHECK(creek.scene().stage == Stage::first_sight);
    CHECK(creek.scene().visit.told.empty());
    CHECK(holds(creek.type("b\n"), "There is nothing to take back."));
}

TEST_CASE("after a step of a fix its next step is told, and how many are left; all of them when asked for") {
    Creek creek;
    creek.at_fix("screen_matted");
    const std::vector<Step>& steps = find_cause(shipped_pack(), "screen_matted")->fix.steps;
    REQUIRE(steps.size() >= 4);
    const auto told = [&](const std::string& text, std::size_t step) { return count_of(text, steps[step].say); };
    const std::string said = creek.type("1\nskip 3\n");
    CHECK(told(said, 0) == 1);   // in the list alone
    CHECK(told(said, 1) == 3);   // in the list, and twice as the next one
    CHECK(told(said, 3) == 1);
    CHECK(holds(said, std::to_string(steps.size() - 2) + " more after it."));
    CHECK(holds(said, std::to_string(steps.size() - 3) + " more after it."));
    CHECK(told(creek.type("2\nsteps\n"), 0) == 2);   // shown anew at the start of a sitting
    CHECK(holds(creek.type("all\n"), "No step is left.   done: go on to the proof."));
}

TEST_CASE("a step's number is read strictly, done or skipped") {
    Creek creek;
    creek.at_fix("screen_matted");
    for (const char* const wrong : {"1.5", "skip", "skip 99", "skip two", "99", "2 done"}) {
        CAPTURE(wrong);
        CHECK(holds(creek.type(std::string(wrong) + "\n"), "Type the number of a step"));
    }
    CHECK(creek.scene().visit.current_attempt()->steps.empty());
    creek.type("Skip 2\n1\n");
    CHECK(creek.scene().visit.current_attempt()->steps == std::map<int, bool>{{0, true}, {1, false}});
}

TEST_CASE("a caution is told in full once on the way to the steps, then by its title") {
    for (const Cause& cause : shipped_pack().causes) {
        CAPTURE(cause.id);
        Creek creek;
        creek.at_fix(cause.id);
        ToldCautions told;
        const std::string first = scene_text(creek.app->state(), creek.app->pack(), told);
        const std::string again = scene_text(creek.app->state(), creek.app->pack(), told);
        const std::size_t first_step = first.find("  [ ] 1.");
        REQUIRE(first_step != std::string::npos);
        for (const std::string& id : cause.fix.cautions) {
            const Caution& caution = *find_caution(shipped_pack(), id);
            CAPTURE(id);
            CHECK(count_of(first, caution.say) == 1);
            CHECK(first.find(caution.say) < first_step);
            CHECK(count_of(again, caution.say) == 0);
            CHECK(holds(again, "! " + caution.title));
            CHECK(count_of(how_text(creek.app->state(), creek.app->pack()), caution.say) == 1);
        }
    }
}

TEST_CASE("what is wanted has an upper end where too much is wrong, and none for delivered water") {
    Creek creek;
    bool band = false, open = false;
    for (const Cause& cause : shipped_pack().causes) {
        if (cause.proof.measure.empty()) continue;
        Creek at;
        at.at_proof(cause.id);
        const std::string text = at.screen();
        for (const ProofFigure& figure : at.scene().proof->figures) {
            const Measurement& how = *find_measurement(shipped_pack(), figure.measurement);
            if (!figure.least_si || !figure.most_si) continue;
            CAPTURE(cause.id);
            const std::string least = format_number(figure_of(how), *figure.least_si, Units::metric);
            if (how.id == "Q") {
                CHECK(holds(text, "wanted from " + least));
                open = true;
            } else {
                CHECK(holds(text, "wanted " + least + " to " + format_measured(how, *figure.most_si, Units::metric)));
                band = true;
            }
        }
    }
    CHECK(band);
    CHECK(open);
}

TEST_CASE("under US units no word of a finding or a verdict is metric") {
    Creek creek;
    creek.app->act(SetUnits{Units::us});
    creek.say(Began{});
    creek.say(Measured{"T", 12, Care::careful});
    creek.say(Measured{"W", litres_per_minute(20).si(), Care::careful});
    creek.say(Measured{"Q", litres_per_minute(1).si(), Care::careful});
    creek.say(FixChosen{"screen_matted"});
    REQUIRE(creek.scene().reasons.has_value());
    std::string words;
    for (const Reason& reason : creek.scene().reasons->for_it) words += reason.words + "\n";
    for (const Reason& reason : creek.scene().reasons->against_it) words += reason.words + "\n";
    CHECK_MESSAGE(holds(words, "gal/min"), words);
    CHECK_MESSAGE(!holds(words, "L/min"), words);
    creek.say(Checked{"screen_matted", CheckResult::yes});
    creek.say(FixFinished{"screen_matted"});
    while (creek.scene().stage == Stage::proof_measure) {
        const Measurement& how = shipped_pack().measurements[*creek.scene().measurement];
        creek.say(Measured{how.id, (how.id == "Q" ? litres_per_minute(4).si() : beats_per_minute(50).si()), Care::careful});
    }
    creek.say(ProofSeen{"screen_matted", true});
    REQUIRE(creek.scene().stage == Stage::verdict);
    CHECK_MESSAGE(holds(creek.scene().proof->words, "1.06 gal/min"), creek.scene().proof->words); // 4 / 3.785411784
    CHECK_FALSE(holds(creek.scene().proof->words, "L/min"));
    creek.app->act(SetUnits{Units::metric});
    CHECK(holds(creek.scene().proof->words, "4 L/min"));
}

TEST_CASE("times are local where the platform says how far ahead they are, and the log keeps UTC") {
    const std::vector<Event> events{{1, Instant{1'764'072'000'000}, "keeper", Opened{"", Site{}, "1.0.0", ""}},
                                    {2, Instant{1'764'072'060'000}, "keeper", Began{}}};
    const auto brisbane = [](Instant) { return 600; };
    const auto newfoundland = [](Instant) { return -210; };
    CHECK(record_lines(shipped_pack(), events, Units::metric).front().starts_with("25 Nov 2025 UTC,"));
    CHECK(record_lines(shipped_pack(), events, Units::metric, brisbane).front().starts_with("25 Nov 2025 UTC+10:00,"));
    CHECK(record_lines(shipped_pack(), events, Units::metric, brisbane)[2].starts_with("22:01  Asking began."));
    CHECK(record_lines(shipped_pack(), events, Units::metric, newfoundland)[2].starts_with("08:31  Asking began."));
    CHECK(day_text(Instant{1'764'072'000'000 + 15 * 3'600'000}, brisbane) == "26 Nov 2025");
    CHECK(zone_text(Instant{}, newfoundland) == "UTC-03:30");
    CHECK(clock_text(Instant{0}, newfoundland) == "20:30"); // the evening before 1970
}

} // namespace beckhand

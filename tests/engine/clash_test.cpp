// Answers that exclude each other: every pair of the shipped table is caught, in either order, and none where nothing
// is wrong with the answers.
#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "engine/diagnosis/clash.h"
#include "tests/support/shipped_pack.h"
#include "tests/support/tiny_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;

/// A visit of these happenings, numbered from 1 behind its opening.
struct Told {
    std::vector<Event> events{{1, Instant{}, "keeper", Opened{"", Site{}, "", ""}}, {2, Instant{}, "keeper", Began{}}};
    Told& say(Happening what) {
        const int number = static_cast<int>(events.size()) + 1;
        events.push_back({number, Instant{}, "keeper", std::move(what)});
        return *this;
    }
    Told& say(const Pointed& what) { return say(Answered{what.observation, what.answer}); }
    [[nodiscard]] Visit visit() const { return fold(events); }
};

std::string named(const Pointed& what) { return what.observation + "." + what.answer; }

const Answer& answer_at(const Pack& pack, const Pointed& what) {
    return *find_answer(*find_observation(pack, what.observation), what.answer);
}

TEST_CASE("every pair of the table is caught as it is said, in either order") {
    const Pack& pack = shipped_pack();
    REQUIRE(pack.impossible.size() >= 60);
    for (std::size_t row = 0; row < pack.impossible.size(); ++row) {
        const Impossible& pair = pack.impossible[row];
        CAPTURE(named(pair.first));
        CAPTURE(named(pair.second));
        for (const bool turned : {false, true}) {
            const Pointed& before = turned ? pair.second : pair.first;
            const Pointed& after = turned ? pair.first : pair.second;
            CHECK_FALSE(open_clash(pack, Told().say(before).visit()));
            const Visit visit = Told().say(before).say(after).visit();
            const auto clash = open_clash(pack, visit);
            REQUIRE(clash);
            CHECK(clash->row == row);
            CHECK(named(clash->earlier.what) == named(before));
            CHECK(named(clash->later.what) == named(after));
            // Told on arrival it is the same.
            CHECK(open_clash(pack, Told().say(Answered{before.observation, before.answer, true}).say(after).visit()));
            // Nothing that was said is lost by it.
            CHECK(visit.answer_to(before.observation)->answer == before.answer);
            CHECK(visit.answer_to(after.observation)->answer == after.answer);
        }
        CHECK_FALSE(answer_at(pack, pair.first).cannot);
        CHECK_FALSE(answer_at(pack, pair.second).cannot);
    }
}

TEST_CASE("a corrected answer, a withdrawn one, and both kept on purpose settle it") {
    const Pack& pack = shipped_pack();
    const Pointed shut{"beat_now", "stopped_shut"}, pours{"waste_splash", "sheet_all_time"};
    Told told;
    told.say(shut).say(pours);
    const auto clash = open_clash(pack, told.visit());
    REQUIRE(clash);

    CHECK_FALSE(open_clash(pack, Told(told).say(Pointed{"waste_splash", "none"}).visit()));
    CHECK_FALSE(open_clash(pack, Told(told).say(Pointed{"waste_splash", "cannot_tell"}).visit()));
    CHECK_FALSE(open_clash(pack, Told(told).say(Pointed{"beat_now", "stopped_open"}).visit()));
    CHECK_FALSE(open_clash(pack, Told(told).say(TookBack{4}).visit()));

    Told kept = told;
    kept.say(keep_both(kept.visit(), *clash));
    CHECK_FALSE(open_clash(pack, kept.visit()));
    REQUIRE(clashes_of(pack, kept.visit()).size() == 1);
    CHECK(clashes_of(pack, kept.visit()).front().kept);
    CHECK(kept.visit().answers.size() == told.visit().answers.size());
    // To keep both is taken back like any other word, and a new answer that clashes is told anew.
    CHECK(open_clash(pack, Told(kept).say(TookBack{5}).visit()));
    CHECK(open_clash(pack, Told(kept).say(Pointed{"waste_splash", "usual_bursts"}).visit()));
}

TEST_CASE("what was told on arrival stays told when both are kept") {
    const Pack& pack = shipped_pack();
    Told told;
    told.say(Pointed{"waste_splash", "sheet_all_time"}).say(Answered{"beat_now", "stopped_shut", true});
    const auto clash = open_clash(pack, told.visit());
    REQUIRE(clash);
    told.say(keep_both(told.visit(), *clash));
    CHECK(told.visit().answer_to("beat_now")->told);
    CHECK_FALSE(open_clash(pack, told.visit()));
}

TEST_CASE("two states of the pump are no one moment") {
    const Pack& pack = shipped_pack();
    // It hung open, was started by hand, and now throws its usual bursts.
    Told told;
    told.say(Pointed{"beat_now", "stopped_open"}).say(Pointed{"hand_start", "runs_on"});
    told.say(Pointed{"waste_splash", "usual_bursts"});
    CHECK(clashes_of(pack, told.visit()).empty());
    // Without the start between them both were said of the pump at rest.
    Told still;
    still.say(Pointed{"beat_now", "stopped_open"}).say(Pointed{"waste_splash", "usual_bursts"});
    CHECK(open_clash(pack, still.visit()));
}

TEST_CASE("a clear figure is set against what was said, a doubtful one is not") {
    const Pack& pack = shipped_pack();
    Site site;
    site.fall = metres(2);
    site.lift = metres(14);
    Told told;
    told.events[0].what = Opened{"", site, "", ""};
    told.say(Pointed{"outlet_flow", "none"});
    told.say(Measured{"Q", 4.0e-5, Care::careful});
    CHECK_FALSE(open_clash(pack, told.visit())); // the yield needs the waste flow too
    told.say(Measured{"W", 4.0e-4, Care::careful});
    const auto clash = open_clash(pack, told.visit());
    REQUIRE(clash);
    CHECK(clash->later.from_figures);
    CHECK(clash->later.what.observation == "yield_band");
    // To keep both says once more what was said; the figure stays what it is.
    const Answered again = keep_both(told.visit(), *clash);
    CHECK(again.observation == "outlet_flow");
    CHECK_FALSE(open_clash(pack, Told(told).say(again).visit()));
    CHECK_FALSE(open_clash(pack, Told(told).say(NotMeasured{"Q"}).visit()));

    // 4 degrees is the edge between two bands, and a thermometer is off by more than nothing.
    CHECK_FALSE(open_clash(pack, Told().say(Pointed{"water_look", "icy"}).say(Measured{"T", 4.05, Care::sloppy}).visit()));
    CHECK(open_clash(pack, Told().say(Pointed{"water_look", "icy"}).say(Measured{"T", 15, Care::careful}).visit()));
}

TEST_CASE("what was said before a repair that helped is not held against what is said after it") {
    const Pack& pack = shipped_pack();
    Told told;
    told.say(Pointed{"beat_now", "stopped_shut"}).say(FixChosen{"waste_light"}).say(Checked{"waste_light", CheckResult::yes});
    told.say(StepTicked{"waste_light", 0, true}).say(FixFinished{"waste_light"}).say(ProofSeen{"waste_light", true});
    told.say(Judged{"waste_light", Verdict::better});
    told.say(Pointed{"waste_splash", "usual_bursts"});
    CHECK(clashes_of(pack, told.visit()).empty());
}

// --- none where nothing is wrong ---

/// What a clean visit under a cause may hold: each observation of which the cause has typical answers, with one of
/// them; and each that the cause does not make otherwise than normal, with its normal answer. What a cause makes only
/// likelier may be seen or not, depending on what else is seen, and the marks do not say how; it is left out.
std::vector<Pointed> clean_answers(const Pack& pack, const Cause& cause, std::mt19937_64& random) {
    std::vector<Pointed> clean;
    for (const Observation& observation : pack.observations) {
        std::vector<std::string> typical, normal;
        bool otherwise = false;
        for (const Seen& seen : cause.seen) {
            if (seen.observation != observation.id) continue;
            otherwise = otherwise || seen.mark == Mark::typical || seen.mark == Mark::likelier;
            if (seen.mark == Mark::typical) typical.push_back(seen.answer);
        }
        for (const Answer& answer : observation.answers) {
            if (answer.normal) normal.push_back(answer.id);
        }
        const std::vector<std::string>& from = otherwise ? typical : normal;
        if (!from.empty()) clean.push_back({observation.id, from[random() % from.size()]});
    }
    for (std::size_t i = clean.size(); i > 1; --i) std::swap(clean[i - 1], clean[static_cast<std::size_t>(random() % i)]);
    return clean;
}

TEST_CASE("in 1,000 clean visits no answer is called impossible") {
    const Pack& pack = shipped_pack();
    std::mt19937_64 random(20261126);
    std::size_t visits = 0, said = 0, false_alarms = 0;
    while (visits < 1000) {
        const Cause& cause = pack.causes[visits % pack.causes.size()];
        Told told;
        for (const Pointed& what : clean_answers(pack, cause, random)) told.say(what);
        const std::vector<Clash> clashes = clashes_of(pack, told.visit());
        for (const Clash& clash : clashes) {
            CHECK_MESSAGE(false, cause.id << ": " << named(clash.earlier.what) << ", " << named(clash.later.what));
        }
        false_alarms += clashes.empty() ? 0U : 1U;
        said += told.visit().answers.size();
        ++visits;
    }
    CHECK(false_alarms == 0);
    CHECK(said / visits >= 40); // nearly every question is answered
    // The control: the same look finds a pair that is in the table.
    const Impossible& pair = pack.impossible.front();
    CHECK(open_clash(pack, Told().say(pair.first).say(pair.second).visit()));
}

} // namespace
} // namespace beckhand

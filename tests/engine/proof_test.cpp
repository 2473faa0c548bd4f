// The verdict after a fix: proved, better but not yet right, or not it.
#include <doctest/doctest.h>

#include <algorithm>

#include "engine/diagnosis/proof.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

Site measured_site() {
    Site site;
    site.name = "Test";
    site.fall = metres(2);
    site.lift = metres(14);
    site.record.delivered = litres_per_minute(4);
    site.record.beat = beats_per_minute(60);
    site.record.waste = litres_per_minute(45);
    return site;
}

struct Played {
    Visit visit;
    Attempt attempt;
};

Played after_fix(double before_lpm, double after_lpm, double beat, std::optional<bool> look) {
    Played played;
    played.visit.site = measured_site();
    played.visit.as_found["Q"] = {"Q", litres_per_minute(before_lpm).si(), Care::careful};
    played.attempt.cause = "screen_matted";
    played.attempt.finished = true;
    played.attempt.proof["Q"] = {"Q", litres_per_minute(after_lpm).si(), Care::careful};
    played.attempt.proof["B"] = {"B", beats_per_minute(beat).si(), Care::careful};
    played.attempt.seen = look;
    played.attempt.could_not_see = !look;
    return played;
}

ProofState judged(const Played& played) {
    return prove(shipped_pack(), played.visit, played.attempt, expect(played.visit.site));
}

} // namespace

TEST_CASE("delivered flow back at the record and a look that agrees is proved") {
    CHECK(judged(after_fix(1, 3.9, 60, true)).verdict == Verdict::proved);
    CHECK(judged(after_fix(1, 4.4, 61, std::nullopt)).verdict == Verdict::proved);
}

TEST_CASE("a clear gain that falls short is better, not yet right") {
    CHECK(judged(after_fix(1, 2.5, 60, true)).verdict == Verdict::better);
    CHECK(judged(after_fix(1, 3.9, 60, false)).verdict == Verdict::better);
}

TEST_CASE("a gain after a repair with open steps is not proved yet, and the open steps are named first") {
    Played half = after_fix(1, 2.5, 60, true);
    const int steps = static_cast<int>(find_cause(shipped_pack(), "screen_matted")->fix.steps.size());
    for (int step = 0; step + 2 < steps; ++step) half.attempt.steps[step] = true;
    const ProofState open = judged(half);
    CHECK(open.verdict == Verdict::not_proved);
    CHECK(open.open_steps == std::vector<int>{steps - 2, steps - 1});
    CHECK(open.words.starts_with("Not proved yet: the repair is not finished. 2 steps left: " + std::to_string(steps - 1) + " and " +
                                 std::to_string(steps) + "."));
    CHECK(open.words.find("Better, not yet right.") != std::string::npos);
    half.attempt.steps[steps - 2] = half.attempt.steps[steps - 1] = false; // left out on purpose
    CHECK(judged(half).verdict == Verdict::better);
    CHECK(judged(half).open_steps.empty());
}

TEST_CASE("where nobody measured before, a pump that stood still is said to have given nothing, and no other") {
    Played still = after_fix(1, 2.5, 60, true);
    still.visit.as_found.clear();
    CHECK(judged(still).words.find("before") == std::string::npos);
    still.visit.answers = {{"complaint", "none_at_tank", true}};
    CHECK(judged(still).verdict == Verdict::better); // somebody's word, which the gain is held against
    CHECK(judged(still).words.find("before") == std::string::npos);
    still.visit.answers = {{"beat_now", "stopped_open", false}};
    CHECK(judged(still).words.find("before taken as 0 L/min (the pump stood still)") != std::string::npos);
}

TEST_CASE("no gain is not it") {
    const Played played = after_fix(1, 1.02, 45, false);
    CHECK(judged(played).verdict == Verdict::not_it);
    CHECK(judged(played).words.find("Not it") == 0);
}

TEST_CASE("the verdict waits for every figure and for the look") {
    Played played = after_fix(1, 3.9, 60, std::nullopt);
    played.attempt.could_not_see = false;
    CHECK_FALSE(judged(played).verdict);
    CHECK(judged(played).look_missing);
    played.attempt.proof.erase("Q");
    CHECK(judged(played).next_measurement == "Q");
}

TEST_CASE("without any figure a good look is better, not proved, where figures could have been had") {
    Played played = after_fix(1, 3.9, 60, true);
    played.attempt.proof.clear();
    played.attempt.not_measured = {{"Q", true}, {"B", true}};
    CHECK(judged(played).verdict == Verdict::better);
}

TEST_CASE("where a look decides, the look is the proof") {
    Played played = after_fix(1, 3.9, 60, true);
    played.attempt.cause = "tank_leaks";
    played.attempt.proof.clear();
    CHECK(judged(played).verdict == Verdict::proved);
    played.attempt.seen = false;
    CHECK(judged(played).verdict == Verdict::not_it);
}

TEST_CASE("a beat far above the record is not right though the water is there") {
    CHECK(judged(after_fix(1, 4.0, 95, true)).verdict == Verdict::better);
}

TEST_CASE("figures that were already right after an earlier fix do not prove the next one") {
    Played played = after_fix(1, 3.9, 60, true);
    Attempt earlier = played.attempt;
    earlier.cause = "drive_leak";
    earlier.verdict = Verdict::not_it;
    played.visit.attempts = {earlier};
    CHECK(judged(played).verdict == Verdict::better);
    played.attempt.seen = false;
    CHECK(judged(played).verdict == Verdict::not_it);
}

TEST_CASE("a gain over the earlier fix proves the one that brought it") {
    Played played = after_fix(1, 3.9, 60, true);
    Attempt earlier = played.attempt;
    earlier.verdict = Verdict::better;
    earlier.proof["Q"].value_si = litres_per_minute(2).si();
    played.visit.attempts = {earlier};
    CHECK(judged(played).verdict == Verdict::proved);
}

TEST_CASE("more water than the pump can lift proves nothing: the unit is wrong") {
    const ProofState state = judged(after_fix(1, 55, 60, true));
    CHECK(state.verdict == Verdict::not_proved);
    CHECK(state.words.find("Check the unit") != std::string::npos);
    CHECK(state.impossible);
    CHECK_FALSE(judged(after_fix(1, 3.9, 60, true)).impossible);
}

TEST_CASE("where nothing was measured or looked at after the repair, nothing is said against it") {
    Played played = after_fix(1, 3.9, 60, std::nullopt);
    played.attempt.proof.clear();
    played.attempt.not_measured = {{"Q", true}, {"B", true}};
    CHECK(judged(played).verdict == Verdict::not_proved);
    CHECK(judged(played).words == "Not proved yet: nothing was measured or looked at after the repair.");
    played.attempt.cause = "tank_leaks"; // a look decides there, and could not be had either
    CHECK(judged(played).verdict == Verdict::not_proved);
}

TEST_CASE("a repair of which every step was skipped is neither proved nor not it") {
    Played played = after_fix(1, 3.9, 60, true);
    played.attempt.steps = {{0, false}, {1, false}};
    CHECK(judged(played).verdict == Verdict::not_proved);
    played.attempt.steps[1] = true;
    CHECK(judged(played).verdict == Verdict::proved);
}

TEST_CASE("little waste with enough delivered is no fault, little waste with too little delivered is") {
    Played played = after_fix(1, 3.9, 60, true);
    played.attempt.cause = "waste_heavy";
    const Cause& cause = *find_cause(shipped_pack(), played.attempt.cause);
    REQUIRE(std::count(cause.proof.measure.begin(), cause.proof.measure.end(), "W") == 1);
    played.attempt.proof["W"] = {"W", litres_per_minute(25).si(), Care::careful}; // the record says 45
    CHECK(judged(played).verdict == Verdict::proved);
    played.attempt.proof["W"].value_si = litres_per_minute(70).si();
    CHECK(judged(played).verdict == Verdict::better);
    played.attempt.proof["W"].value_si = litres_per_minute(25).si();
    played.attempt.proof["Q"].value_si = litres_per_minute(2).si();
    CHECK(judged(played).verdict == Verdict::better);
}

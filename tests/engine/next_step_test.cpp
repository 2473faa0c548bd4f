// What is asked, what is not, and when asking ends.
#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "engine/diagnosis/next_step.h"
#include "engine/diagnosis/reasons.h"
#include "tests/support/random_pack.h"
#include "tests/support/shipped_pack.h"
#include "tests/support/tiny_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

Visit begun() {
    Visit visit;
    visit.began = true;
    return visit;
}

} // namespace

TEST_CASE("no question is asked twice, and asking always ends") {
    std::mt19937_64 random(42);
    for (int i = 0; i < 100; ++i) {
        const Pack pack = random_pack(random, 3 + i % 8, 2 + i % 9);
        const Model model(pack);
        Visit visit = begun();
        std::set<std::size_t> asked;
        bool ended = false;
        for (int step = 0; step < 40 && !ended; ++step) {
            const Offer offer = next_step(pack, model, visit);
            const auto* ask = std::get_if<Ask>(&offer.step);
            ended = ask == nullptr;
            if (ended) break;
            CHECK(asked.insert(ask->observation).second);
            const Observation& observation = pack.observations[ask->observation];
            const auto at = std::uniform_int_distribution<std::size_t>(0, observation.answers.size() - 1)(random);
            visit.answers.push_back({observation.id, observation.answers[at].id, false});
        }
        CHECK(ended);
    }
}

TEST_CASE("what needs a running pump is not asked of one that stands") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.answers.push_back({"beat_now", "stopped_open", true});
    for (int step = 0; step < 30; ++step) {
        const Offer offer = next_step(pack, model, visit);
        if (const auto* stop = std::get_if<StopFirst>(&offer.step)) {
            visit.heeded.push_back(pack.cautions[stop->caution].id);
            continue;
        }
        if (const auto* measure = std::get_if<Measure>(&offer.step)) {
            const Measurement& how = pack.measurements[measure->measurement];
            CHECK_MESSAGE(how.pump != PumpState::running, how.id);
            visit.not_measured[how.id] = true;
            continue;
        }
        const auto* ask = std::get_if<Ask>(&offer.step);
        if (ask == nullptr) break;
        const Observation& observation = pack.observations[ask->observation];
        CHECK_MESSAGE(observation.pump != PumpState::running, observation.id);
        visit.answers.push_back({observation.id, observation.answers.back().id, false});
    }
}

TEST_CASE("an answer that means danger brings its caution before any question") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.answers.push_back({"creek_level", "flood", false});
    const Offer offer = next_step(pack, model, visit);
    REQUIRE(std::holds_alternative<StopFirst>(offer.step));
    const Caution& caution = pack.cautions[std::get<StopFirst>(offer.step).caution];
    CHECK(caution.id == "flood_water");
    visit.heeded.push_back(caution.id);
    CHECK_FALSE(std::holds_alternative<StopFirst>(next_step(pack, model, visit).step));
}

TEST_CASE("a proved fix ends the visit's asking") {
    const Pack& pack = shipped_pack();
    Visit visit = begun();
    Attempt attempt;
    attempt.cause = "screen_matted";
    attempt.verdict = Verdict::proved;
    visit.attempts.push_back(attempt);
    const Offer offer = next_step(pack, Model(pack), visit);
    REQUIRE(std::holds_alternative<Finish>(offer.step));
    CHECK(std::get<Finish>(offer.step).reason == EndReason::proved);
}

TEST_CASE("a cause that was checked and is not it is not offered again") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    std::set<std::string> offered;
    for (int step = 0; step < 200; ++step) {
        const Offer offer = next_step(pack, model, visit);
        if (std::holds_alternative<Finish>(offer.step)) break;
        if (const auto* fix = std::get_if<TryFix>(&offer.step)) {
            const std::string& id = pack.causes[fix->cause].id;
            CHECK(offered.insert(id).second);
            Attempt attempt;
            attempt.cause = id;
            attempt.check = CheckResult::no;
            visit.attempts.push_back(attempt);
        } else if (const auto* ask = std::get_if<Ask>(&offer.step)) {
            const Observation& observation = pack.observations[ask->observation];
            visit.answers.push_back({observation.id, observation.answers.back().id, false});
        } else if (const auto* measure = std::get_if<Measure>(&offer.step)) {
            visit.not_measured[pack.measurements[measure->measurement].id] = true;
        }
    }
    CHECK(offered.size() > 3);
}

TEST_CASE("every question says why it is asked") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    for (int step = 0; step < 8; ++step) {
        const Offer offer = next_step(pack, model, visit);
        const auto* ask = std::get_if<Ask>(&offer.step);
        if (ask == nullptr) break;
        CHECK(offer.separates.size() >= 2);
        CHECK(why_asked(pack, model, visit, offer).find("tell apart") != std::string::npos);
        const Observation& observation = pack.observations[ask->observation];
        visit.answers.push_back({observation.id, observation.answers.back().id, false});
    }
}

TEST_CASE("reasons: what speaks for a cause raises it, what speaks against it lowers it") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.answers = {{"screen_face", "matted", false}, {"open_flow", "weaker", false}, {"onset", "sudden", false}};
    const auto cause = static_cast<std::size_t>(find_cause(pack, "screen_matted") - pack.causes.data());
    const Reasons reasons = reasons_for(pack, model, visit, cause);
    REQUIRE(reasons.for_it.size() >= 2);
    CHECK(reasons.for_it[0].decibans >= reasons.for_it[1].decibans);
    CHECK(reasons.for_it[0].words.find("Matted") != std::string::npos);
    REQUIRE(reasons.against_it.size() == 1);
    CHECK(reasons.against_it[0].decibans < 0);
    CHECK_FALSE(reasons.second.empty());
}

TEST_CASE("sureness in words") {
    CHECK(sureness(0.99) == "almost certain");
    CHECK(sureness(0.72) == "about 7 times in 10");
    CHECK(sureness(0.1) == "about 1 time in 10");
    CHECK(sureness(0.01) == "less than 1 time in 10");
}

TEST_CASE("a figure that cannot be taken shuts only that way: the same is still asked by eye") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    std::set<std::string> by_eye;
    // Each turn one measurement is out of reach and everything else stands open.
    for (const Measurement& refused : pack.measurements) {
        Visit visit = begun();
        visit.not_measured[refused.id] = true;
        for (int step = 0; step < 30; ++step) {
            const Offer offer = next_step(pack, model, visit);
            if (const auto* measure = std::get_if<Measure>(&offer.step)) {
                CHECK(pack.measurements[measure->measurement].id != refused.id);
                visit.not_measured[pack.measurements[measure->measurement].id] = true;
            } else if (const auto* ask = std::get_if<Ask>(&offer.step)) {
                const Observation& asked = pack.observations[ask->observation];
                const bool needs_it = asked.bands && std::count(asked.bands->needs.begin(), asked.bands->needs.end(), refused.id) > 0;
                if (needs_it) by_eye.insert(refused.id);
                visit.answers.push_back({asked.id, asked.answers.back().id, false});
            } else if (const auto* stop = std::get_if<StopFirst>(&offer.step)) {
                visit.heeded.push_back(pack.cautions[stop->caution].id);
            } else {
                break;
            }
        }
    }
    CHECK(by_eye.count("W") == 1);
    CHECK(by_eye.count("Q") == 1);
    CHECK(by_eye.count("Ps") == 0); // only a gauge tells that, and there is none
}

TEST_CASE("a beat is counted where there is a record to hold it against, and judged by ear where it cannot be") {
    const Pack pack = tiny_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.site.record.beat = beats_per_minute(50);
    visit.answers = {{"screen_face", "cannot_reach", false}, {"rubber_look", "cannot_see", false}};
    const Offer counted = next_step(pack, model, visit);
    REQUIRE(std::holds_alternative<Measure>(counted.step));
    CHECK(pack.measurements[std::get<Measure>(counted.step).measurement].id == "B");
    visit.not_measured["B"] = true;
    const Offer heard = next_step(pack, model, visit);
    REQUIRE(std::holds_alternative<Ask>(heard.step));
    CHECK(pack.observations[std::get<Ask>(heard.step).observation].id == "beat_band");
}

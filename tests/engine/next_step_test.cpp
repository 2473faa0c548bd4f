// What is asked, what is not, and when asking ends.
#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "engine/diagnosis/may_ask.h"
#include "engine/diagnosis/next_step.h"
#include "engine/diagnosis/reasons.h"
#include "tests/support/random_pack.h"
#include "tests/support/shipped_pack.h"
#include "tests/support/tiny_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

// As if no repair were likely: only the questions count.
const StepRules only_asking{.most_questions = 60, .only_ask = true};

/// Reasons for a cause as a scene has them.
Reasons reasons_for(const Pack& pack, const Model& model, const Visit& visit, std::size_t cause) {
    const Grounds grounds = grounds_of(pack, model, visit);
    return beckhand::reasons_for(pack, model, visit, grounds, belief_of(model, grounds), beliefs_without(model, grounds), cause);
}

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

namespace {

/// Answers "cannot tell" and "not measured" to everything, until something else than a question comes.
Offer after_asking(const Pack& pack, const Model& model, Visit& visit) {
    for (int step = 0; step < 60; ++step) {
        const Offer offer = next_step(pack, model, visit);
        if (const auto* ask = std::get_if<Ask>(&offer.step)) {
            const Observation& observation = pack.observations[ask->observation];
            visit.answers.push_back({observation.id, observation.answers.back().id, false});
        } else if (const auto* measure = std::get_if<Measure>(&offer.step)) {
            visit.not_measured[pack.measurements[measure->measurement].id] = true;
        } else {
            return offer;
        }
    }
    return {};
}

std::size_t cause_of(const Offer& offer) { return std::get<TryFix>(offer.step).cause; }

} // namespace

TEST_CASE("a finding put aside is not offered again, and a doubted one only after more answers") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.answers = {{"screen_face", "matted", false}, {"onset", "days", false}, {"open_flow", "weaker", false}};
    Offer offer = after_asking(pack, model, visit);
    REQUIRE(std::holds_alternative<TryFix>(offer.step));
    const std::size_t first = cause_of(offer);
    const std::string id = pack.causes[first].id;
    CHECK(offer.sure == (offer.held >= StepRules{}.sure_from));

    Visit parked = visit;
    parked.aside[id] = {Aside::not_now, steps_asked(visit)};
    for (int i = 0; i < 20; ++i) {
        offer = after_asking(pack, model, parked);
        if (!std::holds_alternative<TryFix>(offer.step)) break;
        CHECK(cause_of(offer) != first);
        parked.aside[pack.causes[cause_of(offer)].id] = {Aside::not_now, steps_asked(parked)};
    }
    CHECK(std::holds_alternative<Finish>(offer.step));

    Visit doubted = visit;
    doubted.aside[id] = {Aside::doubted, steps_asked(visit)};
    CHECK(put_aside(doubted, id));
    for (const char* more : {"a", "b", "c"}) doubted.answers.push_back({more, "cannot_tell", false});
    CHECK_FALSE(put_aside(doubted, id));
}

TEST_CASE("a doubt is answered with further questions where there are any") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.answers = {{"screen_face", "matted", false}, {"onset", "days", false}, {"open_flow", "weaker", false},
                     {"header_level", "overflows", false}, {"beat_now", "steady", false}};
    const Offer sure = next_step(pack, model, visit);
    REQUIRE(std::holds_alternative<TryFix>(sure.step));
    visit.aside[pack.causes[cause_of(sure)].id] = {Aside::doubted, steps_asked(visit)};
    const Offer after = next_step(pack, model, visit);
    const bool asks = std::holds_alternative<Ask>(after.step) || std::holds_alternative<Measure>(after.step);
    CHECK(asks);

    // When it comes back, it does not come as if nothing had been said.
    for (const char* more : {"a", "b", "c"}) visit.answers.push_back({more, "cannot_tell", false});
    const std::size_t cause = cause_of(sure);
    REQUIRE_FALSE(put_aside(visit, pack.causes[cause].id));
    const Reasons reasons = reasons_for(pack, model, visit, cause);
    CHECK(standing_of(pack, visit, sure, cause, reasons).find("You doubted this. ") == 0);
    visit.aside.clear();
    CHECK(standing_of(pack, visit, sure, cause, reasons).find("Most likely, ") == 0);
}

TEST_CASE("the runner-up is never one that was tried in vain, and a likelier one is named as put aside") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.answers = {{"screen_face", "matted", false}, {"onset", "days", false}};
    const Belief belief = belief_after(pack, model, visit);
    const std::size_t first = belief.ranked[0], second = belief.ranked[1];
    const auto holds = [](const std::string& words, const std::string& name) {
        return words.find(name.substr(1)) != std::string::npos;
    };
    CHECK(holds(reasons_for(pack, model, visit, first).second, pack.causes[second].name));
    Attempt tried;
    tried.cause = pack.causes[second].id;
    tried.check = CheckResult::no;
    visit.attempts.push_back(tried);
    CHECK_FALSE(holds(reasons_for(pack, model, visit, first).second, pack.causes[second].name));
    visit.attempts.clear();
    visit.aside[pack.causes[first].id] = {Aside::not_now, 2};
    const std::string words = reasons_for(pack, model, visit, second).second;
    CHECK(words.find("Likelier, but put aside: ") == 0);
    CHECK(holds(words, pack.causes[first].name));
}

TEST_CASE("who keeps away from a place is asked nothing there until it is called safe") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    const Place there = find_observation(pack, "vessel_skin")->place;
    for (const bool safe : {false, true}) {
        Visit visit = begun();
        visit.answers.push_back({"vessel_skin", "crack_spray", false});
        visit.heeded.push_back("burst_plastic");
        if (!safe) visit.kept_from.push_back("burst_plastic");
        int near = 0;
        for (int step = 0; step < 40; ++step) {
            const Offer offer = next_step(pack, model, visit, only_asking);
            if (const auto* ask = std::get_if<Ask>(&offer.step)) {
                const Observation& observation = pack.observations[ask->observation];
                near += observation.place == there || observation.part == "air_vessel";
                visit.answers.push_back({observation.id, observation.answers.back().id, false});
            } else if (const auto* measure = std::get_if<Measure>(&offer.step)) {
                near += pack.measurements[measure->measurement].place == there;
                visit.not_measured[pack.measurements[measure->measurement].id] = true;
            } else {
                break;
            }
        }
        if (safe) CHECK(near > 0);
        else CHECK(near == 0);
    }
}

TEST_CASE("of a weak pump that runs, the delivered flow and the waste flow are taken first") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.answers.push_back({"complaint", "less_at_tank", true});
    visit.told = visit.answers;
    const auto wanted = [&]() -> std::string {
        const Offer offer = next_step(pack, model, visit);
        const auto* const measure = std::get_if<Measure>(&offer.step);
        return measure ? pack.measurements[measure->measurement].id : "";
    };
    CHECK(wanted() == "Q");
    visit.as_found["Q"] = {"Q", litres_per_minute(1).si(), Care::careful};
    CHECK(wanted() == "W");
    visit.as_found["W"] = {"W", litres_per_minute(40).si(), Care::careful};
    CHECK(wanted() != "Q");
    visit.as_found.clear();
    visit.not_measured["Q"] = true;
    CHECK(wanted() != "Q");
    CHECK(wanted() != "W");
    visit.not_measured.clear();
    visit.answers.push_back({"beat_now", "stopped_open", false}); // it has stopped since: nothing to catch
    CHECK(wanted() != "Q");
}

TEST_CASE("who does not know the pump is asked first for a look that takes no practice, whatever was seen first") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    int other_than_keeper = 0;
    for (const FirstSight& sight : pack.first_sights) {
        for (const Person person : {Person::keeper, Person::helper, Person::newcomer}) {
            CAPTURE(sight.say);
            CAPTURE(static_cast<int>(person));
            Visit visit;
            visit.site.fall = metres(2);
            visit.site.lift = metres(14);
            visit.began = true;
            visit.person = person;
            visit.told = visit.answers = {{sight.means.observation, sight.means.answer, true}};
            visit.answered_at[sight.means.observation] = 2;
            const Offer offer = next_step(pack, model, visit);
            if (person == Person::keeper) {
                // Unchanged for who does: where too little comes, the delivered flow is taken before anything else.
                if (sight.means.answer == "less_at_tank") CHECK(std::holds_alternative<Measure>(offer.step));
                continue;
            }
            CHECK_FALSE(std::holds_alternative<Measure>(offer.step));
            if (!std::holds_alternative<Ask>(offer.step)) continue;
            ++other_than_keeper;
            const Observation& look = pack.observations[std::get<Ask>(offer.step).observation];
            CAPTURE(look.id);
            CHECK_FALSE(look.bands.has_value());
            CHECK_FALSE(look.skilled);
            CHECK(look.minutes <= 2);
            CHECK((look.tools.empty() || look.tools == std::vector<std::string>{"torch"}));
        }
    }
    CHECK(other_than_keeper >= 15);
}

TEST_CASE("the beat is not set beside a record that the site does not have") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    const auto asks_for_beat = [&](const Site& site) {
        Visit visit = begun();
        visit.site = site;
        visit.answers.push_back({"beat_now", "steady", true});
        for (int step = 0; step < 60; ++step) {
            const Offer offer = next_step(pack, model, visit, only_asking);
            std::size_t asked = pack.observations.size();
            if (const auto* ask = std::get_if<Ask>(&offer.step)) asked = ask->observation;
            else if (const auto* measure = std::get_if<Measure>(&offer.step)) asked = measure->observation;
            else break;
            const Observation& observation = pack.observations[asked];
            if (observation.id == "beat_vs_record") return true;
            visit.answers.push_back({observation.id, observation.answers.back().id, false});
        }
        return false;
    };
    Site site;
    CHECK_FALSE(asks_for_beat(site));
    site.record.beat = beats_per_minute(60);
    CHECK(asks_for_beat(site));
}

TEST_CASE("without a gauge the check valve is tried with a stick, and no gauge is asked for again") {
    const Pack& pack = shipped_pack();
    const Model model(pack);
    Visit visit = begun();
    visit.answers = {{"beat_now", "stopped_shut", true}, {"hold_line", "no_gauge", false}};
    std::set<std::string> asked;
    for (int step = 0; step < 60; ++step) {
        const Offer offer = next_step(pack, model, visit, only_asking);
        const auto* const ask = std::get_if<Ask>(&offer.step);
        if (ask == nullptr) break;
        const Observation& observation = pack.observations[ask->observation];
        asked.insert(observation.id);
        visit.answers.push_back({observation.id, observation.answers.back().id, false});
    }
    CHECK(asked.count("hold_vessel") == 0);
    CHECK(asked.count("static_vs_lift") == 0);
    CHECK(asked.count("back_flow") == 1);
}

TEST_CASE("what the pump is doing is the latest word of it, not any word ever") {
    const Pack& pack = shipped_pack();
    std::vector<Event> events;
    const auto say = [&](Happening what) {
        events.push_back({static_cast<int>(events.size()) + 1, Instant{}, "test", std::move(what)});
    };
    say(Opened{"", Site{}, pack.version, pack.hash});
    CHECK(pump_state(pack, fold(events)) == PumpState::either);
    say(Answered{"complaint", "less_at_tank", true}); // the sight says: it beats
    CHECK(pump_state(pack, fold(events)) == PumpState::running);
    say(Answered{"beat_now", "stopped_open"});
    CHECK(pump_state(pack, fold(events)) == PumpState::stopped);
    say(FixChosen{"screen_matted"});
    say(FixFinished{"screen_matted"});
    say(Measured{"B", beats_per_minute(50).si()});
    say(Judged{"screen_matted", Verdict::not_it});
    CHECK(pump_state(pack, fold(events)) == PumpState::running);
    say(Answered{"hand_start", "dies_open"});
    CHECK(pump_state(pack, fold(events)) == PumpState::stopped);
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
    const Offer counted = next_step(pack, model, visit, only_asking);
    REQUIRE(std::holds_alternative<Measure>(counted.step));
    CHECK(pack.measurements[std::get<Measure>(counted.step).measurement].id == "B");
    visit.not_measured["B"] = true;
    const Offer heard = next_step(pack, model, visit, only_asking);
    REQUIRE(std::holds_alternative<Ask>(heard.step));
    CHECK(pack.observations[std::get<Ask>(heard.step).observation].id == "beat_band");
}

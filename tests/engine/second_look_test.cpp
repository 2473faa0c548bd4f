// What is looked at, or checked, once more before help is called.
#include <algorithm>
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "app/visit/scene.h"
#include "engine/diagnosis/exam_play.h"
#include "engine/diagnosis/present.h"
#include "engine/diagnosis/reasons.h"
#include "engine/diagnosis/second_look.h"
#include "tests/support/shipped_model.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

DrawnVisit drawn_visit(std::uint64_t number, Truths truths = Truths::one_cause) {
    Dice dice(number);
    const std::vector<double> weights = weights_of(shipped_pack(), shipped_model(), truths);
    const Hypothesis truth = shipped_model().hypotheses()[drawn_index(weights, dice.even())];
    return draw_visit(shipped_pack(), shipped_model(), truth, Person::keeper, 1, dice);
}

/// Visits of drawn pumps at the moments at which something was to be done once more.
std::vector<Visit> moments_before_help(int visits) {
    std::vector<Visit> moments;
    for (int i = 0; i < visits; ++i) {
        for (const Visit& now : moments_of(shipped_pack(), shipped_model(), drawn_visit(static_cast<std::uint64_t>(i)), Person::keeper)) {
            if (next_step(shipped_pack(), shipped_model(), now).again) moments.push_back(now);
        }
    }
    return moments;
}

} // namespace

TEST_CASE("the chance of a slip agrees with every way enumerated, slip or not, and has its limits") {
    // Bayes' rule over (way, slipped or not) written out: an answer that was a slip says nothing of the way, so that the
    // chance of each joint case is prior x share x chance of the answer, divided by their sum.
    const Model& model = shipped_model();
    const std::size_t o = 3;
    for (std::size_t a = 0; a < model.answers(o); ++a) {
        if (model.is_cannot(o, a)) continue;
        Fact fact{o, std::vector<double>(model.answers(o), 0.0), false, "", Person::helper, false};
        fact.answer[a] = 1;
        const Grounds grounds = grounds_of(model, {fact});
        const double slip = model.slip_of(o, Person::helper);
        double slipped = 0, all = 0;
        for (std::size_t h = 0; h < model.hypotheses().size(); ++h) {
            const double wrong = model.prior()[h] * slip * model.background(o, a);
            slipped += wrong;
            all += wrong + model.prior()[h] * (1 - slip) * model.shows(o, h, a);
        }
        CHECK(slip_chance(model, belief_of(model, grounds), fact) == doctest::Approx(slipped / all).epsilon(1e-9));
    }
    const Belief before = belief_of(model, grounds_of(model, {}));
    CHECK(slip_chance(model, before, Fact{o, {}, false, "", Person::keeper, false}) == 0); // nobody could tell
    Fact figure{o, std::vector<double>(model.answers(o), 0.0), true, "", Person::keeper, true};
    figure.answer[0] = 1;
    CHECK(slip_chance(model, before, figure) == 0);
}

TEST_CASE("what is looked at again was asked, is looked at again once, and fits less than most; a check is made at most twice") {
    const std::vector<Visit> moments = moments_before_help(60);
    REQUIRE(moments.size() > 20);
    int looks = 0, checks = 0;
    for (const Visit& now : moments) {
        const Offer offer = next_step(shipped_pack(), shipped_model(), now);
        const Grounds grounds = grounds_of(shipped_pack(), shipped_model(), now);
        const Belief belief = belief_of(shipped_model(), grounds);
        StepRules rules;
        rules.second_looks = false;
        CHECK(std::holds_alternative<Finish>(next_step(shipped_pack(), shipped_model(), now, rules).step));
        CHECK(offer.minutes > 0);
        CHECK(offer.minutes < rules.help_minutes);
        if (const auto* ask = std::get_if<Ask>(&offer.step)) {
            ++looks;
            const std::string& id = shipped_pack().observations[ask->observation].id;
            const Answered* const given = now.answer_to(id);
            REQUIRE(given != nullptr);
            CHECK_FALSE(given->told);
            CHECK(now.looked_again.count(id) == 0);
            CHECK(now.looked_again.size() < 3);
            CHECK_FALSE(of_the_past(shipped_pack().observations[ask->observation]));
            CHECK(number_of(now.answered_at, id) < now.next_number - 1); // not what was said a moment ago
            const auto fact = std::find_if(grounds.facts.begin(), grounds.facts.end(),
                                           [&](const Fact& f) { return f.observation == ask->observation; });
            CHECK(slip_chance(shipped_model(), belief, *fact) >= 2 * shipped_pack().scale.slip);
        } else {
            ++checks;
            const std::string& id = shipped_pack().causes[std::get<TryFix>(offer.step).cause].id;
            CHECK(std::count_if(now.attempts.begin(), now.attempts.end(), [&](const Attempt& a) { return a.cause == id; }) == 1);
        }
    }
    CHECK(looks > 10);
    CHECK(checks > 2);
}

TEST_CASE("the second answer holds, is not asked for again, and taking it back brings the first one back") {
    for (const Visit& now : moments_before_help(30)) {
        const Offer offer = next_step(shipped_pack(), shipped_model(), now);
        const auto* ask = std::get_if<Ask>(&offer.step);
        if (ask == nullptr) continue;
        const Observation& observation = shipped_pack().observations[ask->observation];
        const std::string first = now.answer_to(observation.id)->answer;
        std::string second;
        for (const Answer& answer : observation.answers) {
            if (answer.id != first && !answer.cannot) second = answer.id;
        }
        std::vector<Event> events{{1, exam_day, "", Opened{}},
                                  {2, exam_day, "", Answered{observation.id, first, false}},
                                  {3, exam_day, "", Answered{observation.id, second, false}}};
        const Visit twice = fold(events);
        CHECK(twice.answer_to(observation.id)->answer == second);
        CHECK(twice.looked_again.count(observation.id) == 1);
        events.push_back({4, exam_day, "", TookBack{3}});
        const Visit back = fold(events);
        CHECK(back.answer_to(observation.id)->answer == first);
        CHECK(back.looked_again.empty());
        return;
    }
    FAIL("no second look among these visits");
}

TEST_CASE("who is to look or check once more is told what was said, or that it was not found, and why again") {
    int asked = 0, checked = 0;
    for (const Visit& now : moments_before_help(60)) {
        const Scene scene = scene_of(shipped_pack(), shipped_model(), now, {}, Units::metric);
        if (scene.stage == Stage::ask) {
            ++asked;
            const Observation& observation = shipped_pack().observations[*scene.observation];
            const Answer* const said = find_answer(observation, now.answer_to(observation.id)->answer);
            CHECK(scene.before == "You said: " + said->say + ". That fits the other answers least: look once more before help is called. Look " +
                                      std::to_string(now.looked_again.size() + 1) + " of at most 3.");
        } else if (scene.stage == Stage::finding) {
            ++checked;
            CHECK(standing_of(shipped_pack(), now, scene.offer, *scene.cause, *scene.reasons).find("Checked once and not found") == 0);
        }
    }
    CHECK(asked > 10);
    CHECK(checked > 2);
}

TEST_CASE("second looks put more pumps right without help, and call more healthy ones healthy") {
    // The same visits with and without: only what a second look shows is new.
    int with = 0, without = 0, healthy_with = 0, healthy_without = 0;
    for (std::uint64_t i = 0; i < 120; ++i) {
        const auto play = [&](const DrawnVisit& drawn, bool looks) {
            return play_drawn(shipped_pack(), shipped_model(), drawn, Person::keeper, looks ? ExamPolicy::ours : ExamPolicy::no_second_look);
        };
        const DrawnVisit drawn = drawn_visit(1000 + i), well = drawn_visit(2000 + i, Truths::healthy);
        with += play(drawn, true).proved;
        without += play(drawn, false).proved;
        healthy_with += !play(well, true).named.empty();
        healthy_without += !play(well, false).named.empty();
    }
    MESSAGE("put right ", with, " of 120, without second looks ", without, "; healthy ", healthy_with, " and ", healthy_without);
    CHECK(with > without);
    CHECK(healthy_with > healthy_without);
}

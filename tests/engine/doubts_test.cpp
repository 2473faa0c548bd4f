// What does not fit, where the virtual pump's word is part of the belief. No outside source: the rule is our own.
#include <doctest/doctest.h>

#include <string>

#include "engine/diagnosis/doubts.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

TEST_CASE("a check that comes out against what the figures made near-sure does not fit, and one against a guess does") {
    const Pack& pack = shipped_pack();
    static const Model model(pack);
    const std::size_t cause = index_of(pack.causes, find_cause(pack, "waste_light"));
    Visit visit;
    visit.began = true;
    Attempt attempt;
    attempt.cause = "waste_light";
    attempt.check = CheckResult::no;
    visit.attempts.push_back(attempt);
    const auto told = [&](double pump_says) {
        Grounds grounds = grounds_of(pack, model, visit);
        for (const Hypothesis& way : model.hypotheses()) grounds.pump.push_back(way.first == cause ? pump_says : 0);
        const Belief belief = belief_of(model, grounds);
        return doubts_about(pack, model, visit, grounds, belief, beliefs_without(model, grounds), belief.first()).does_not_fit;
    };
    CHECK(told(10).find("nearly all spoke for \"" + pack.causes[cause].name + "\"") != std::string::npos);
    CHECK(told(0).empty());
}

// What to do next, against decisions that others have worked out.
#include <doctest/doctest.h>

#include <cmath>

#include "engine/diagnosis/policy.h"
#include "engine/diagnosis/policy_plan.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

namespace {

/// Repairs that cost the same whatever they find, each with its own chance of curing each fault.
Situation plain_problem(std::size_t faults, std::vector<std::vector<double>> cures, double minutes = 1) {
    Situation problem;
    problem.faults = faults;
    problem.help_minutes = 1e6; // no help in these examples
    for (std::size_t f = 0; f < faults; ++f)
        problem.hypotheses.push_back({f, no_fault});
    for (auto& row : cures)
        problem.repairs.push_back({minutes, 0, std::move(row)});
    return problem;
}

} // namespace

TEST_CASE("published: of three overlapping repairs the best order leaves out the likeliest") {
    // Jensen, Kjaerulff, Kristiansen, Langseth, Skaanning, Vomlel, Vomlelova, "The SACSO methodology for
    // troubleshooting complex systems", AI EDAM 15 (2001): by belief over cost A2, A1, A3 = 1.50; best A3, A1
    // = 1.45.
    const Situation problem = plain_problem(4, {{1, 1, 0, 0}, {0, 1, 1, 0}, {0, 0, 1, 1}});
    const std::vector<double> belief{.20, .25, .40, .15};
    Planner by_ratio(problem, {0, 1, 2, 3});
    CHECK(off(by_ratio.plan(belief.data()).minutes, 1.50) <= 1e-9);
    CHECK(off(minutes_without_asking(problem, belief), 1.45) <= 1e-9);
    const Choice choice = best_step(problem, belief);
    CHECK(choice.move == Move::repair);
    CHECK(choice.index == 2);
    CHECK(off(choice.minutes, 1.45) <= 1e-9);
}

TEST_CASE("published: a question that could only pay later is not asked first") {
    // Lin, "Decision-theoretic troubleshooting: hardness of approximation", IJAR 55 (2014): repairs in plain
    // order cost 1.75; asking after the first failure costs 2.00.
    Situation problem = plain_problem(3, {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}});
    const std::vector<double> belief{.5, .25, .25};
    const std::vector<double> splits{.5, 1, 0, .5, 0, 1};
    problem.questions.push_back({1, 2, splits.data(), 1});
    for (const int steps : {0, 3}) {
        PolicyRules rules;
        rules.look_ahead = steps;
        const Choice choice = best_step(problem, belief, rules);
        CHECK(choice.move == Move::repair);
        CHECK(choice.index == 0);
        CHECK(off(choice.minutes, 1.75) <= 1e-9);
    }
    // A tenth of the price: still the repair first, then the question: 1 + 0.5 (0.1 + 1).
    problem.questions[0].minutes = .1;
    const Choice cheap = best_step(problem, belief);
    CHECK(cheap.move == Move::repair);
    CHECK(off(cheap.minutes, 1.55) <= 1e-9);
    // Asked where it counts, after the first repair failed.
    problem.repairs.erase(problem.repairs.begin());
    const Choice then = best_step(problem, {0, .5, .5});
    CHECK(then.move == Move::ask);
    CHECK(off(then.minutes, 1.1) <= 1e-9);
}

TEST_CASE("published: checking before repairing costs the look and the repair of what is bad") {
    // Heckerman, Breese, Rommelse, "Troubleshooting under Uncertainty" (1994): look + P(bad) x repair; and a
    // service call, which always works, is taken where no repair solves more per cost than it does.
    Situation problem = plain_problem(2, {{1, 0}, {0, 1}});
    problem.repairs[0] = {4, 30, {1, 0}};
    problem.repairs[1] = {6, 20, {0, 1}};
    CHECK(off(minutes_without_asking(problem, {.7, .3}), 4 + .7 * 30 + .3 * (6 + 20)) <= 1e-9);
    problem = plain_problem(2, {{1, 0}, {0, 1}}, 50);
    problem.help_minutes = 60;
    CHECK(best_step(problem, {.5, .5}).move == Move::help);   // .5/50 < 1/60
    CHECK(best_step(problem, {.9, .1}).move == Move::repair); // .9/50 > 1/60: 50 + .1 * 50
    CHECK(off(best_step(problem, {.9, .1}).minutes, 55) <= 1e-9);
}

TEST_CASE("published: without questions the best order is by chance over cost") {
    // Kadane and Simon 1977 (from memory): .3/2, .5/10, .2/1 go in the order third, first, second.
    Situation problem = plain_problem(3, {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}});
    problem.repairs[0].check_minutes = 2;
    problem.repairs[1].check_minutes = 10;
    const std::vector<double> belief{.3, .5, .2};
    CHECK(best_step(problem, belief).index == 2);
    CHECK(off(minutes_without_asking(problem, belief), 1 + .8 * 2 + .5 * 10) <= 1e-9);
}

TEST_CASE("published: what one test says of one disease") {
    // The textbook case of a rare disease: 8 %, sensitivity .75, specificity .96 (checked by hand:
    // .06/.0968).
    Situation problem = plain_problem(2, {});
    const std::vector<double> test{.75, .04, .25, .96};
    problem.questions.push_back({1, 2, test.data(), 1});
    CHECK(off(after_answer(problem, {.08, .92}, 0, 0)[0], .619835) <= 1e-6);
    CHECK(off(after_answer(problem, {.08, .92}, 0, 1)[1], .977857) <= 1e-6);
}

TEST_CASE("published: three doors, and how the host chooses counts") {
    // Morgan, Chaganty, Dahiya, Doviak, "Let's make a deal: the player's dilemma", The American Statistician
    // 45 (1991, from memory): switching wins 1/(1+p) where the host opens this door with chance p when he may
    // choose.
    for (const double p : {1.0, .5, 0.0}) {
        Situation problem = plain_problem(3, {});
        const std::vector<double> opens{p, 1, 0, 1 - p, 0, 1}; // door 3 or door 2, the first being ours
        problem.questions.push_back({1, 2, opens.data(), 1});
        const std::vector<double> belief = after_answer(problem, {1. / 3, 1. / 3, 1. / 3}, 0, 0);
        CHECK(off(belief[1], 1 / (1 + p)) <= 1e-12);
    }
}

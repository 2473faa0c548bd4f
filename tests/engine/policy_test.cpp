// What to do next on plain numbers: orders of repairs against every order, and what must hold whatever the
// numbers.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

#include "engine/diagnosis/policy.h"
#include "tests/support/large_model.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

struct Numbers {
    explicit Numbers(std::uint64_t seed) : random(seed) {}
    double operator()(double least, double most) {
        return least + (most - least) * (static_cast<double>(random() >> 11) * 0x1p-53);
    }
    std::size_t whole(std::size_t below) {
        return static_cast<std::size_t>((*this)(0, static_cast<double>(below)));
    }
    std::mt19937_64 random;
};

/// Faults still there, as bits, of a hypothesis that began as some.
unsigned bits_of(const Hypothesis& h) {
    return (h.first == no_fault ? 0U : 1U << h.first) | (h.second == no_fault ? 0U : 1U << h.second);
}

/// Expected minutes of a row of repairs and then help, from these faults, followed through every outcome.
double minutes_of_row(const Situation& problem, unsigned faults, const std::vector<std::size_t>& row,
                      std::size_t at) {
    if (at == row.size())
        return problem.help_minutes;
    const Repair& repair = problem.repairs[row[at]];
    double minutes = repair.check_minutes;
    for (unsigned found = 0; found <= faults; ++found) {
        if ((found & ~faults) != 0)
            continue;
        double chance = 1;
        for (std::size_t f = 0; f < problem.faults; ++f) {
            if ((faults >> f & 1U) != 0)
                chance *= (found >> f & 1U) != 0 ? repair.cures[f] : 1 - repair.cures[f];
        }
        const unsigned left = faults & ~found;
        minutes += chance * ((found != 0 ? repair.fix_minutes : 0) +
                             (left != 0 ? minutes_of_row(problem, left, row, at + 1) : 0));
    }
    return minutes;
}

double minutes_of_row(const Situation& problem, const std::vector<double>& belief,
                      const std::vector<std::size_t>& row) {
    double sum = 0;
    for (std::size_t h = 0; h < belief.size(); ++h) {
        sum += belief[h] * minutes_of_row(problem, bits_of(problem.hypotheses[h]), row, 0);
    }
    return sum;
}

/// The best of all rows of any length.
double best_row(const Situation& problem, const std::vector<double>& belief) {
    std::vector<std::size_t> order(problem.repairs.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    double best = problem.help_minutes;
    do {
        for (std::size_t n = 1; n <= order.size(); ++n) {
            best = std::min(best,
                            minutes_of_row(problem, belief,
                                           {order.begin(), order.begin() + static_cast<std::ptrdiff_t>(n)}));
        }
    } while (std::next_permutation(order.begin(), order.end()));
    return best;
}

struct Small {
    Situation problem;
    std::vector<double> belief;
};

Small small(Numbers& number, bool pairs, bool overlap) {
    Small it;
    it.problem.faults = 4;
    it.problem.help_minutes = number(150, 400);
    for (std::size_t f = 0; f < 4; ++f)
        it.problem.hypotheses.push_back({f, no_fault});
    for (std::size_t f = 0; pairs && f < 4; ++f) {
        for (std::size_t g = f + 1; g < 4; ++g)
            it.problem.hypotheses.push_back({f, g});
    }
    double sum = 0;
    for (std::size_t h = 0; h < it.problem.hypotheses.size(); ++h) {
        it.belief.push_back(number(0, 1) * number(0, 1));
        sum += it.belief.back();
    }
    for (double& b : it.belief)
        b /= sum;
    for (std::size_t f = 0; f < 4; ++f) {
        Repair repair{number(3, 60), 20, std::vector<double>(4, 0.0)};
        repair.cures[f] = number(0.7, 1);
        it.problem.repairs.push_back(repair);
    }
    if (overlap) {
        Repair repair{number(10, 60), number(10, 60), std::vector<double>(4, 0.0)};
        repair.cures[number.whole(2)] = repair.cures[2 + number.whole(2)] = 0.9;
        it.problem.repairs.push_back(repair);
    }
    return it;
}

double sum_of(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0);
}

} // namespace

TEST_CASE("repairing without asking: the best of all orders where each fault has one repair") {
    Numbers number(11);
    for (int i = 0; i < 200; ++i) {
        const Small it = small(number, false, false);
        CHECK(minutes_without_asking(it.problem, it.belief) ==
              doctest::Approx(best_row(it.problem, it.belief)).epsilon(1e-9));
    }
}

TEST_CASE("repairing without asking: two faults at once and overlapping repairs stay near the best order") {
    Numbers number(12);
    double sum = 0;
    double worst = 0;
    const int models = 150;
    for (int i = 0; i < models; ++i) {
        const Small it = small(number, true, i % 2 == 0);
        const double excess =
            minutes_without_asking(it.problem, it.belief) / best_row(it.problem, it.belief) - 1;
        CHECK(excess >= -1e-12); // what it says is what an order really costs
        sum += excess;
        worst = std::max(worst, excess);
    }
    MESSAGE("above the best order: ", 100 * sum / models, " % in the mean, ", 100 * worst, " % at worst");
    CHECK(sum / models <= 0.005);
    CHECK(worst <= 0.05);
}

TEST_CASE("two faults at once cost both repairs, and the row runs until the last is gone") {
    Situation problem;
    problem.faults = 2;
    problem.hypotheses = {{0, 1}};
    problem.repairs = {{10, 20, {1, 0}}, {5, 30, {0, 1}}};
    CHECK(minutes_without_asking(problem, {1}) == doctest::Approx(10 + 20 + 5 + 30));
    problem.repairs.push_back({12, 40, {1, 1}}); // one repair for both: paid once
    CHECK(best_step(problem, {1}).index == 2);
    CHECK(best_step(problem, {1}).minutes == doctest::Approx(12 + 40));
    problem.repairs = {{10, 20, {0.9, 0}}, {5, 30, {0, 0.8}}};
    const double both = 10 + 0.9 * 20 + 5 + 0.8 * 30 + (1 - 0.9 * 0.8) * 300;
    CHECK(minutes_without_asking(problem, {1}) == doctest::Approx(both));
}

TEST_CASE("what nothing cures is help's") {
    Situation problem;
    problem.faults = 2;
    problem.hypotheses = {{0, no_fault}, {1, no_fault}, {no_fault, no_fault}};
    problem.repairs = {{5, 10, {1, 0}}};
    CHECK(best_step(problem, {0, 1, 0}).move == Move::help);
    CHECK(best_step(problem, {0, 0, 1}).move == Move::help);
    CHECK(best_step(problem, {0, 0.5, 0.5}).minutes == doctest::Approx(300));
    CHECK(best_step(problem, {0.5, 0.5, 0}).move == Move::repair);
    problem.repairs.clear();
    CHECK(best_step(problem, {1, 0, 0}).move == Move::help);
}

TEST_CASE("a question that cannot change what to do is not asked, cheap as it is") {
    Situation problem;
    problem.faults = 3;
    for (std::size_t f = 0; f < 3; ++f)
        problem.hypotheses.push_back({f, no_fault});
    // The first two are put right by the same repair: telling them apart is worth nothing. While they are
    // held alike, the answer says nothing about the third.
    problem.repairs = {{8, 30, {0.9, 0.9, 0}}, {9, 30, {0, 0, 0.9}}};
    const std::vector<double> twins{1, 0, .5, 0, 1, .5};
    const std::vector<double> empty{.3, .3, .3, .7, .7, .7};
    const std::vector<double> splits{.98, .98, .02, .02, .02, .98};
    problem.questions = {{0.01, 2, twins.data(), 1}, {0.01, 2, empty.data(), 1}};
    for (const auto& belief : {std::vector<double>{.4, .4, .2}, {.25, .25, .5}, {.05, .05, .9}}) {
        for (const int steps : {0, 3}) {
            for (const double slack : {0.0, 3.0}) {
                CHECK(best_step(problem, belief, {slack, true, steps}).move == Move::repair);
            }
        }
    }
    problem.questions.push_back({0.01, 2, splits.data(), 1});
    for (const int steps : {0, 3}) {
        const Choice choice = best_step(problem, {.25, .25, .5}, {3, true, steps});
        CHECK(choice.move == Move::ask);
        CHECK(choice.index == 2);
        CHECK(choice.saves > 0);
    }
}

TEST_CASE("ties go to the lowest index, and the same numbers give the same choice") {
    Situation problem;
    problem.faults = 2;
    problem.hypotheses = {{0, no_fault}, {1, no_fault}};
    problem.repairs = {{5, 10, {1, 0}}, {5, 10, {0, 1}}};
    CHECK(best_step(problem, {.5, .5}).index == 0);
    problem.repairs = {{60, 10, {1, 0}}, {60, 10, {0, 1}}};
    const std::vector<double> splits{.9, .1, .1, .9};
    problem.questions = {{1, 2, splits.data(), 1}, {1, 2, splits.data(), 1}};
    CHECK(best_step(problem, {.5, .5}).move == Move::ask);
    CHECK(best_step(problem, {.5, .5}).index == 0);
    const Large large = large_model(3);
    const Choice once = best_step(large.problem, large.prior);
    const Choice again = best_step(large.problem, large.prior);
    CHECK(once.move == again.move);
    CHECK(once.index == again.index);
    CHECK(once.minutes == again.minutes);
}

TEST_CASE("belief after an answer: the chance to the power of the weight") {
    Situation problem;
    problem.faults = 3;
    for (std::size_t f = 0; f < 3; ++f)
        problem.hypotheses.push_back({f, no_fault});
    const std::vector<double> chance{.2, .5, .9, .8, .5, .1};
    problem.questions = {{1, 2, chance.data(), .5}};
    const std::vector<double> after = after_answer(problem, {.5, .3, .2}, 0, 0);
    const double a = .5 * std::sqrt(.2);
    const double b = .3 * std::sqrt(.5);
    const double c = .2 * std::sqrt(.9);
    CHECK(after[0] == doctest::Approx(a / (a + b + c)));
    CHECK(after[1] == doctest::Approx(b / (a + b + c)));
    CHECK(after[2] == doctest::Approx(c / (a + b + c)));
}

TEST_CASE("belief after a repair in vain: its faults lose, and of two one may be left") {
    Situation problem;
    problem.faults = 3;
    problem.hypotheses = {{0, no_fault}, {1, no_fault}, {0, 1}, {1, 2}};
    problem.repairs = {{5, 10, {.9, 0, 0}}, {5, 10, {.9, .5, 0}}};
    const std::vector<double> after = after_repair(problem, {.4, .3, .2, .1}, 0);
    CHECK(sum_of(after) == doctest::Approx(1));
    const double whole = .4 * .1 + .3 + .2 + .1; // the pairs are never ended by one of them
    CHECK(after[0] == doctest::Approx(.4 * .1 / whole));
    CHECK(after[1] == doctest::Approx((.3 + .2 * .9) / whole)); // of the pair the first is gone
    CHECK(after[2] == doctest::Approx(.2 * .1 / whole));
    CHECK(after[3] == doctest::Approx(.1 / whole));
    const std::vector<double> second = after_repair(problem, {.4, .3, .2, .1}, 1);
    const double left = .4 * .1 + .3 * .5 + .2 * (1 - .45) + .1;
    CHECK(second[0] == doctest::Approx((.4 * .1 + .2 * .1 * .5) / left));
    CHECK(second[1] == doctest::Approx((.3 * .5 + .2 * .9 * .5) / left));
    CHECK(second[2] == doctest::Approx(.2 * .1 * .5 / left));
    CHECK(second[3] ==
          doctest::Approx(.1 / left)); // the third alone is no hypothesis: the pair stands for it
}

TEST_CASE("the choice does not depend on how hypotheses are numbered, nor on those without belief") {
    Numbers number(13);
    for (std::uint64_t seed = 0; seed < 12; ++seed) {
        LargeShape shape;
        shape.faults = 12;
        shape.questions = 10;
        const Large large = large_model(seed, shape);
        std::vector<double> belief = large.prior;
        for (double& b : belief)
            b *= number(0, 1) < 0.3 ? 1e-9 : 1;
        const Choice choice = best_step(large.problem, belief);
        const std::size_t all = belief.size();
        std::vector<std::size_t> order(all);
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::shuffle(order.begin(), order.end(), number.random);
        Situation turned = large.problem;
        std::vector<double> same(all);
        std::vector<std::vector<double>> tables = large.tables;
        for (std::size_t i = 0; i < all; ++i) {
            turned.hypotheses[i] = large.problem.hypotheses[order[i]];
            same[i] = belief[order[i]];
            for (std::size_t q = 0; q < tables.size(); ++q) {
                for (std::size_t a = 0; a < turned.questions[q].answers; ++a) {
                    tables[q][a * all + i] = large.tables[q][a * all + order[i]];
                }
            }
        }
        for (std::size_t q = 0; q < tables.size(); ++q)
            turned.questions[q].chance = tables[q].data();
        const Choice again = best_step(turned, same);
        CHECK(again.move == choice.move);
        CHECK(again.index == choice.index);
        CHECK(again.minutes == doctest::Approx(choice.minutes).epsilon(1e-9));
        for (double& b : same)
            b = b < 1e-7 ? 0 : b;
        const Choice without = best_step(turned, same);
        CHECK(without.move == choice.move);
        CHECK(without.index == choice.index);
        CHECK(without.minutes == doctest::Approx(choice.minutes).epsilon(1e-6));
    }
}

TEST_CASE("at full size: a choice that exists, no dearer than repairing at once, whatever the weights of the "
          "questions") {
    Numbers number(14);
    for (std::uint64_t seed = 0; seed < 4; ++seed) {
        Large large = large_model(seed);
        std::vector<double> belief = large.prior;
        for (int step = 0; step < 6; ++step) {
            for (Question& question : large.problem.questions)
                question.weight = number(0, 1) < 0.5 ? 1 : number(0.3, 1);
            const Choice choice = best_step(large.problem, belief);
            CHECK(choice.index < 60);
            CHECK(choice.saves >= 0);
            CHECK(std::isfinite(choice.minutes));
            CHECK(choice.minutes <= minutes_without_asking(large.problem, belief) * 1.01);
            if (choice.move == Move::help)
                break;
            belief = choice.move == Move::repair
                         ? after_repair(large.problem, belief, choice.index)
                         : after_answer(large.problem, belief, choice.index, number.whole(3));
            CHECK(sum_of(belief) == doctest::Approx(1));
        }
    }
}

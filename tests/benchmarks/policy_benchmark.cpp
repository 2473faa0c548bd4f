// How long the next step takes to choose, at the size the program meets: sixty faults and their pairs (1,830
// hypotheses), sixty questions of three to eight answers, sixty repairs. p99_ms and most_ms are processor
// time.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <ctime>
#include <random>

#include "engine/diagnosis/policy.h"
#include "tests/support/large_model.h"

namespace {

using namespace beckhand;
using namespace beckhand::tests;

/// Beliefs met in visits that do what is chosen: after up to `steps` answers, drawn as the belief expects
/// them, and repairs in vain.
std::vector<std::vector<double>> beliefs_on_the_way(const Large& large, const std::vector<double>& start,
                                                    std::size_t steps, std::size_t visits) {
    std::mt19937_64 random(5);
    std::vector<std::vector<double>> met;
    const std::size_t all = large.prior.size();
    for (std::size_t v = 0; v < visits; ++v) {
        std::vector<double> belief = start;
        for (std::size_t n = 0; n < steps; ++n) {
            met.push_back(belief);
            const Choice choice = best_step(large.problem, belief);
            if (choice.move == Move::repair)
                belief = after_repair(large.problem, belief, choice.index);
            if (choice.move != Move::ask)
                continue;
            const std::size_t q = choice.index;
            double left = static_cast<double>(random() >> 11) * 0x1p-53;
            std::size_t answer = 0;
            for (; answer + 1 < large.problem.questions[q].answers; ++answer) {
                for (std::size_t h = 0; h < all; ++h)
                    left -= belief[h] * large.tables[q][answer * all + h];
                if (left < 0)
                    break;
            }
            belief = after_answer(large.problem, belief, q, answer);
        }
    }
    return met;
}

void run(benchmark::State& state, const Large& large, const std::vector<std::vector<double>>& beliefs) {
    std::vector<double> took;
    std::size_t at = 0;
    for (auto _ : state) {
        const std::clock_t from = std::clock();
        benchmark::DoNotOptimize(best_step(large.problem, beliefs[at]));
        took.push_back(1000.0 * static_cast<double>(std::clock() - from) / CLOCKS_PER_SEC);
        at = (at + 1) % beliefs.size();
    }
    std::sort(took.begin(), took.end());
    state.counters["p99_ms"] = took[took.size() * 99 / 100];
    state.counters["most_ms"] = took.back();
}

std::vector<double> flat(const Large& large) {
    return std::vector<double>(large.prior.size(), 1 / static_cast<double>(large.prior.size()));
}

void next_step_on_the_way(benchmark::State& state) {
    const Large large = large_model(1);
    run(state, large, beliefs_on_the_way(large, large.prior, 20, 20));
}

void next_step_flat_belief(benchmark::State& state) {
    const Large large = large_model(1);
    run(state, large, {flat(large)});
}

void next_step_flat_belief_all_questions_repeat(benchmark::State& state) {
    Large large = large_model(1);
    for (Question& question : large.problem.questions)
        question.weight = 0.5 + 0.25 / question.minutes;
    run(state, large, {flat(large)});
}

void next_step_flat_belief_dear_repairs(benchmark::State& state) {
    LargeShape shape;
    shape.fix_minutes = 0; // all of a repair is paid whatever it finds
    const Large large = large_model(2, shape);
    run(state, large, {flat(large)});
}

/// Few hypotheses left, alike: the next steps are followed through every answer.
void next_step_looking_ahead(benchmark::State& state) {
    const Large large = large_model(3);
    std::mt19937_64 random(6);
    std::vector<std::vector<double>> beliefs;
    for (int i = 0; i < 100; ++i) {
        std::vector<double> belief(large.prior.size(), 0.0);
        for (int k = 0; k < 8; ++k)
            belief[random() % (k < 5 ? 60 : large.prior.size())] += 0.125;
        beliefs.push_back(belief);
    }
    run(state, large, beliefs);
}

BENCHMARK(next_step_on_the_way)->Unit(benchmark::kMillisecond)->MinTime(1);
BENCHMARK(next_step_flat_belief)->Unit(benchmark::kMillisecond);
BENCHMARK(next_step_flat_belief_all_questions_repeat)->Unit(benchmark::kMillisecond);
BENCHMARK(next_step_flat_belief_dear_repairs)->Unit(benchmark::kMillisecond);
BENCHMARK(next_step_looking_ahead)->Unit(benchmark::kMillisecond)->MinTime(1);

} // namespace

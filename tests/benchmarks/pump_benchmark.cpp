// How fast the virtual pump runs: one pump, an ensemble, the search for a setting. `x_real_time` is pump
// seconds for each second of one core.
#include <benchmark/benchmark.h>

#include "engine/pump/advice.h"
#include "engine/pump/ensemble.h"
#include "engine/pump/pump.h"

namespace {

using namespace beckhand;

PumpDesign twelve_metres() {
    Site s;
    s.fall = metres(2);
    s.lift = metres(14);
    s.drive_length = metres(12);
    s.drive_bore = millimetres(52.5);
    return *design_for(s);
}

void one_pump_for_a_minute(benchmark::State& state) {
    const PumpDesign d = twelve_metres();
    RunOptions o{.seconds = 60};
    o.reaches = static_cast<std::size_t>(state.range(0));
    for (auto _ : state) {
        PumpRun run = simulate(d, o);
        benchmark::DoNotOptimize(run);
    }
    state.counters["x_real_time"] =
        benchmark::Counter(60.0 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(one_pump_for_a_minute)->Arg(16)->Arg(24)->Arg(48)->Unit(benchmark::kMillisecond);

void ensemble_of_64_for_a_minute(benchmark::State& state) {
    Dice dice(1);
    const auto designs = draw_designs(twelve_metres(), usual_doubts(), 64, dice);
    RunOptions o{.seconds = 60};
    o.reaches = static_cast<std::size_t>(state.range(0));
    for (auto _ : state) {
        auto runs = simulate_many(designs, o);
        benchmark::DoNotOptimize(runs);
    }
    state.counters["x_real_time"] =
        benchmark::Counter(64 * 60.0 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(ensemble_of_64_for_a_minute)->Arg(16)->Arg(24)->Unit(benchmark::kMillisecond);

void best_setting_for_a_lean_source(benchmark::State& state) {
    const PumpDesign d = twelve_metres();
    for (auto _ : state) {
        auto best = best_setting(d, litres_per_minute(40));
        benchmark::DoNotOptimize(best);
    }
}
BENCHMARK(best_setting_for_a_lean_source)->Unit(benchmark::kMillisecond);

} // namespace

// How fast the virtual pump runs: one pump, an ensemble, the search for a setting. `times_real_time` is pump
// seconds for each second of one core, `state_bytes` what the run holds in memory besides its result.
//
// What a shared machine does not change are the instructions, collected in the time loop only; divide them by
// the iterations the benchmark prints and by the pump seconds of one (60; of the ensemble 64 x 60):
//   valgrind --tool=callgrind --callgrind-out-file=/dev/null --toggle-collect='beckhand::simulate(*'
//     .build/beckhand_benchmarks --benchmark_filter='one_pump_for_a_minute/24' --benchmark_min_time=0
// and with 'beckhand::simulate_many(*' and 'ensemble_of_64_for_a_minute/24'. Figures in MODEL.md.
#include <benchmark/benchmark.h>

#include "engine/pump/advice.h"
#include "engine/pump/ensemble.h"
#include "engine/pump/paths.h"
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

template <class Run>
void one_pump(benchmark::State& state, Run run_pump) {
    const PumpDesign d = twelve_metres();
    RunOptions o{.seconds = 60};
    o.reaches = static_cast<std::size_t>(state.range(0));
    for (auto _ : state) {
        PumpRun run = run_pump(d, o);
        benchmark::DoNotOptimize(run);
    }
    state.counters["times_real_time"] =
        benchmark::Counter(60.0 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
    state.counters["state_bytes"] = static_cast<double>(run_state_bytes());
}

template <class Run>
void ensemble_of_64(benchmark::State& state, Run run_pumps) {
    Dice dice(1);
    const auto designs = draw_designs(twelve_metres(), usual_doubts(), 64, dice);
    RunOptions o{.seconds = 60};
    o.reaches = static_cast<std::size_t>(state.range(0));
    for (auto _ : state) {
        auto runs = run_pumps(designs, o);
        benchmark::DoNotOptimize(runs);
    }
    state.counters["times_real_time"] =
        benchmark::Counter(64 * 60.0 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
    state.counters["state_bytes"] = static_cast<double>(ensemble_state_bytes());
}

// The argument is the number of reaches; 24 are what a run takes if nothing is said.
void one_pump_for_a_minute(benchmark::State& state) {
    one_pump(state, simulate);
}
BENCHMARK(one_pump_for_a_minute)->Arg(16)->Arg(24)->Arg(48)->Unit(benchmark::kMillisecond);

void one_pump_for_a_minute_plain_vectors(benchmark::State& state) {
    one_pump(state, simulate_plain);
}
BENCHMARK(one_pump_for_a_minute_plain_vectors)->Arg(24)->Unit(benchmark::kMillisecond);

void ensemble_of_64_for_a_minute(benchmark::State& state) {
    ensemble_of_64(state, simulate_many);
}
BENCHMARK(ensemble_of_64_for_a_minute)->Arg(16)->Arg(24)->Unit(benchmark::kMillisecond);

void ensemble_of_64_for_a_minute_plain_vectors(benchmark::State& state) {
    ensemble_of_64(state, [](const auto& designs, const RunOptions& o) {
        return simulate_many_by(begin_eight_plain, designs, o);
    });
}
BENCHMARK(ensemble_of_64_for_a_minute_plain_vectors)->Arg(24)->Unit(benchmark::kMillisecond);

void best_setting_for_a_lean_source(benchmark::State& state) {
    const PumpDesign d = twelve_metres();
    for (auto _ : state) {
        auto best = best_setting(d, litres_per_minute(40));
        benchmark::DoNotOptimize(best);
    }
}
BENCHMARK(best_setting_for_a_lean_source)->Unit(benchmark::kMillisecond);

} // namespace

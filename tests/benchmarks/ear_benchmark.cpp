// What hearing a beat costs: half a minute and twenty seconds of sound taken in, and the beat told from them.
#include <benchmark/benchmark.h>

#include <cmath>
#include <vector>

#include "engine/measuring/ear.h"

namespace {

using namespace beckhand;

constexpr double rate = 44100;

std::vector<float> knocking(double seconds_long) {
    std::vector<float> samples(static_cast<std::size_t>(seconds_long * rate));
    unsigned random = 1;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const double t = std::fmod(static_cast<double>(i) / rate, 60 / 53.0);
        random = random * 1664525u + 1013904223u;
        const double hiss = static_cast<double>(random >> 8) / (1 << 24) - 0.5;
        samples[i] = static_cast<float>(0.4 * std::exp(-t * 30) * std::sin(5000 * t) + 0.05 * hiss);
    }
    return samples;
}

void take_in(benchmark::State& state) {
    const std::vector<float> samples = knocking(static_cast<double>(state.range(0)));
    for (auto _ : state) {
        Ear ear(rate);
        ear.hear(samples);
        benchmark::DoNotOptimize(ear.level());
    }
}
void tell(benchmark::State& state) {
    Ear ear(rate);
    ear.hear(knocking(static_cast<double>(state.range(0))));
    for (auto _ : state) {
        HeardBeat heard = ear.beat();
        benchmark::DoNotOptimize(heard);
    }
}

BENCHMARK(take_in)->Name("ear_takes_in_seconds")->Arg(20)->Unit(benchmark::kMillisecond);
BENCHMARK(tell)->Name("ear_tells_beat_of_seconds")->Arg(20)->Arg(60)->Unit(benchmark::kMillisecond);

} // namespace

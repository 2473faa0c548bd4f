// How long the virtual pump needs to say what each cause of the pack would show at a site.
#include <benchmark/benchmark.h>

#include "engine/diagnosis/pump_evidence.h"
#include "tests/support/shipped_pack.h"

namespace {

using namespace beckhand;

PumpDesign hill_pump() {
    Site site;
    site.fall = metres(3);
    site.lift = metres(18);
    site.drive_length = metres(18);
    site.drive_bore = millimetres(50);
    site.source_flow = litres_per_minute(60);
    return *design_for(site);
}

void evidence_for_one_cause(benchmark::State& state) {
    Pack pack = tests::shipped_pack();
    pack.causes = {*find_cause(pack, "screen_matted")};
    const PumpDesign sound = hill_pump();
    for (auto _ : state) {
        state.PauseTiming();
        EvidenceJob job(pack, sound);
        step(job); // the sound pump
        state.ResumeTiming();
        step(job);
        benchmark::DoNotOptimize(job.evidence);
    }
}
BENCHMARK(evidence_for_one_cause)->Unit(benchmark::kMillisecond);

void evidence_for_the_whole_pack(benchmark::State& state) {
    const PumpDesign sound = hill_pump();
    for (auto _ : state) {
        EvidenceJob job(tests::shipped_pack(), sound);
        while (step(job)) {}
        benchmark::DoNotOptimize(job.evidence);
    }
}
BENCHMARK(evidence_for_the_whole_pack)->Unit(benchmark::kMillisecond)->Iterations(1);

void weighing_three_figures(benchmark::State& state) {
    EvidenceJob job(tests::shipped_pack(), hill_pump(), {.members = 16, .seed = 1, .seconds = 5});
    while (step(job)) {}
    const Readings figures{{"B", {0.9, 0.02}}, {"W", {6e-4, 2e-5}}, {"Q", {6e-5, 2e-6}}};
    for (auto _ : state) {
        auto logs = log_likelihoods(job.evidence, figures);
        benchmark::DoNotOptimize(logs);
    }
}
BENCHMARK(weighing_three_figures)->Unit(benchmark::kMicrosecond);

} // namespace

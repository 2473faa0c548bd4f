// What a person waits for: from start to the first question, and from an answer to the next question with the
// answer saved and the frame built. Every figure is with a year of visits in a log on disk.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <ctime>
#include <filesystem>

#include "app/terminal/demo.h"
#include "app/terminal/script.h"
#include "engine/diagnosis/exam_play.h"
#include "platform/desktop/embedded.h"
#include "platform/desktop/run.h"
#include "platform/desktop/session.h"
#include "tests/benchmarks/inside.h"

namespace beckhand {
namespace {

/// A log with the demo's year in a folder of its own, gone afterwards.
struct Log {
    std::filesystem::path folder = std::filesystem::temp_directory_path() / "beckhand-benchmark";
    Log() {
        std::filesystem::remove_all(folder);
        std::filesystem::create_directories(folder);
        Store store = *Store::open(path());
        if (const Outcome filled = fill_log(demo_inside(), pack_inside(), store); !filled) std::abort();
    }
    ~Log() { std::filesystem::remove_all(folder); }
    [[nodiscard]] std::string path() const { return (folder / "log.sqlite").string(); }
};

void to_first_question(App& app, kit::Kit& kit) {
    app.start();
    app.act(StartVisit{app.state().sites.front().id});
    app.act(Say{Answered{"complaint", "less_at_tank", true}});
    app.act(Say{Began{}});
    app.frame(kit);
}

/// Everything from the program's own start: pack read and checked, letters loaded, log opened, first frame.
void start_to_first_question(benchmark::State& state) {
    const Log log;
    for (auto _ : state) {
        const Pack pack = *read_pack(embedded_pack(), "the pack inside the program");
        Store store = *Store::open(log.path());
        App app(pack, Services{&store, clock_now, random_bytes});
        const auto kit = kit_with_letters();
        kit->set_size(412, 915, 6.3f, 1.0f);
        to_first_question(app, *kit);
        state.PauseTiming();
        app.act(Say{Closed{Closing::left_as_is}});
        state.ResumeTiming();
    }
}
BENCHMARK(start_to_first_question)->Unit(benchmark::kMillisecond)->UseRealTime();

/// One answer: saved with full sync, the next question chosen, its frame built.
void answer_to_next_question(benchmark::State& state) {
    const Log log;
    Store store = *Store::open(log.path());
    App app(pack_inside(), Services{&store, clock_now, random_bytes});
    const auto kit = kit_with_letters();
    kit->set_size(412, 915, 6.3f, 1.0f);
    to_first_question(app, *kit);
    const CaseFile file; // knows nothing: every question is answered "cannot tell", so the asking goes on long
    for (auto _ : state) {
        const auto what = next_event(file, app.pack(), app.state().scene);
        const bool question = what && (std::holds_alternative<Answered>(*what) || std::holds_alternative<Measured>(*what) ||
                                       std::holds_alternative<NotMeasured>(*what));
        if (!question) { // the asking is over: begin another visit, off the clock
            state.PauseTiming();
            app.act(Say{Closed{Closing::left_as_is}});
            to_first_question(app, *kit);
            state.ResumeTiming();
            continue;
        }
        app.act(Say{*what});
        app.frame(*kit);
    }
}
BENCHMARK(answer_to_next_question)->Unit(benchmark::kMillisecond)->UseRealTime();

/// Choosing alone, over the whole pack.
void choose_next_step(benchmark::State& state) {
    const Model model(pack_inside());
    Visit visit;
    visit.began = true;
    visit.answers = {{"complaint", "less_at_tank", true}, {"beat_now", "steady", false}}; // far from sure
    for (auto _ : state) {
        benchmark::DoNotOptimize(next_step(pack_inside(), model, visit));
    }
}
BENCHMARK(choose_next_step)->Unit(benchmark::kMillisecond);

/// The same over drawn visits, from grounds to step, each moment of them; p99_ms and most_ms are processor time.
void choose_on_the_way(benchmark::State& state) {
    const Pack& pack = pack_inside();
    const Model model(pack);
    std::vector<Visit> moments;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        Dice dice(seed);
        const auto weights = weights_of(pack, model, seed % 4 == 0 ? Truths::two_causes : Truths::one_cause);
        const Hypothesis truth = model.hypotheses()[drawn_index(weights, dice.even())];
        const DrawnVisit drawn = draw_visit(pack, model, truth, Person::keeper, 1, dice);
        for (const Visit& visit : moments_of(pack, model, drawn, Person::keeper)) moments.push_back(visit);
    }
    std::vector<double> took;
    for (auto _ : state) {
        const std::clock_t from = std::clock();
        benchmark::DoNotOptimize(next_step(pack, model, moments[took.size() % moments.size()]));
        took.push_back(1000.0 * static_cast<double>(std::clock() - from) / CLOCKS_PER_SEC);
    }
    std::sort(took.begin(), took.end());
    state.counters["p99_ms"] = took[took.size() * 99 / 100];
    state.counters["most_ms"] = took.back();
    state.counters["moments"] = static_cast<double>(moments.size());
}
BENCHMARK(choose_on_the_way)->Unit(benchmark::kMillisecond)->MinTime(2);

void build_the_model(benchmark::State& state) {
    for (auto _ : state) {
        benchmark::DoNotOptimize(Model(pack_inside()));
    }
}
BENCHMARK(build_the_model)->Unit(benchmark::kMillisecond);

void read_and_check_the_pack(benchmark::State& state) {
    for (auto _ : state) {
        benchmark::DoNotOptimize(read_pack(embedded_pack(), "the pack inside the program"));
    }
}
BENCHMARK(read_and_check_the_pack)->Unit(benchmark::kMillisecond);

/// Views and layout of a question, without drawing pixels.
void build_a_frame(benchmark::State& state) {
    Store store = *Store::open(":memory:");
    if (const Outcome filled = fill_log(demo_inside(), pack_inside(), store); !filled) std::abort();
    App app(pack_inside(), Services{&store, clock_now, random_bytes});
    const auto kit = kit_with_letters();
    kit->set_size(412, 915, 6.3f, 1.0f);
    to_first_question(app, *kit);
    for (auto _ : state) {
        benchmark::DoNotOptimize(app.frame(*kit));
    }
}
BENCHMARK(build_a_frame)->Unit(benchmark::kMillisecond);

/// The same while its drawings move: the pump above and one beside each of the five answers of a valve that beats.
void build_a_moving_frame(benchmark::State& state) {
    Store store = *Store::open(":memory:");
    if (const Outcome filled = fill_log(demo_inside(), pack_inside(), store); !filled) std::abort();
    App app(pack_inside(), Services{&store, clock_now, random_bytes});
    const auto kit = kit_with_letters();
    const bool wide = state.range(0) == 1;
    kit->set_size(wide ? 1280 : 412, wide ? 800 : 915, 6.3f, 1.0f);
    kit->let_move(true);
    to_first_question(app, *kit);
    while (app.work()) {}
    State shown = app.state();
    shown.scene.stage = Stage::ask;
    const auto& observations = pack_inside().observations;
    shown.scene.observation = static_cast<std::size_t>(
        std::find_if(observations.begin(), observations.end(), [](const Observation& o) { return o.id == "beat_now"; }) -
        observations.begin());
    kit::Input input;
    int frames = 0, moving = 0;
    for (auto _ : state) {
        input.seconds = 1.0 + 0.001 * (frames++ % 15000); // within the time in which they move
        kit->feed(input);
        benchmark::DoNotOptimize(view(shown, pack_inside(), *kit));
        moving += kit->wake().has_value() ? 1 : 0;
    }
    state.counters["moving_share"] = static_cast<double>(moving) / std::max(1, frames);
}
BENCHMARK(build_a_moving_frame)->ArgName("wide")->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

} // namespace
} // namespace beckhand

BENCHMARK_MAIN();

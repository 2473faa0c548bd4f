// What a frame costs: views and layout without a dot, the dots by the software renderer, and the whole way from a press
// to the next question on the glass. Times are processor time but for that last one; median_ms is what counts.
#include <algorithm>
#include <chrono>
#include <ctime>
#include <filesystem>

#include <SDL.h>
#include <benchmark/benchmark.h>
#include <imgui.h>

#include "app/terminal/script.h"
#include "platform/desktop/embedded.h"
#include "platform/desktop/pictures.h"
#include "platform/desktop/renderer.h"
#include "platform/desktop/run.h"
#include "platform/desktop/session.h"
#include "tests/benchmarks/inside.h"

namespace beckhand {
namespace {

constexpr const char* screens[] = {"question", "site", "trend", "fix", "sites"};

/// Standing at this screen, with everything worked out beside the drawing.
std::unique_ptr<DemoApp> standing_at(const std::string& name) {
    static const std::vector<LogEntry> year = *demo_year(pack_inside(), demo_inside());
    std::unique_ptr<DemoApp> made = std::move(*DemoApp::make(pack_inside(), demo_inside(), year));
    for (const NamedScreen& named : named_screens()) {
        if (named.name == name && !named.reach(made->app(), demo_inside())) std::abort();
    }
    while (made->app().state().screen != Screen::visit && made->app().work()) {}
    return made;
}

double median(std::vector<double> all) {
    std::nth_element(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2), all.end());
    return all[all.size() / 2];
}

double cpu_ms() { return 1000.0 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

void settle(App& app, kit::Kit& kit) {
    do app.frame(kit);
    while (!kit.settled());
}

void build_a_screen(benchmark::State& state) {
    const char* const name = screens[state.range(0)];
    const bool wide = state.range(1) != 0;
    const auto demo = standing_at(name);
    const auto kit = kit_with_letters();
    kit->set_size(wide ? 1280.0f : 412.0f, wide ? 800.0f : 915.0f, 6.3f, 1.0f);
    settle(demo->app(), *kit);
    std::vector<double> took;
    for (auto _ : state) {
        const double from = cpu_ms();
        benchmark::DoNotOptimize(demo->app().frame(*kit));
        took.push_back(cpu_ms() - from);
    }
    state.SetLabel(std::string(name) + (wide ? " 1280x800" : " 412x915"));
    state.counters["median_ms"] = median(took);
}
BENCHMARK(build_a_screen)->ArgsProduct({{0, 1, 2, 3, 4}, {0, 1}})->Unit(benchmark::kMillisecond);

struct Glass {
    SDL_Surface* surface = SDL_CreateRGBSurfaceWithFormat(0, 1280, 800, 32, SDL_PIXELFORMAT_ABGR8888);
    SDL_Renderer* sdl = SDL_CreateSoftwareRenderer(surface);
    Renderer renderer{sdl};
    Glass() = default;
    Glass(const Glass&) = delete;
    Glass& operator=(const Glass&) = delete;
    ~Glass() {
        ImGui::GetIO().Fonts->SetTexID(nullptr);
        SDL_DestroyRenderer(sdl);
        SDL_FreeSurface(surface);
    }
    void paint() {
        renderer.draw(*ImGui::GetDrawData());
        SDL_RenderFlush(sdl);
    }
};

void paint_a_screen(benchmark::State& state) {
    const char* const name = screens[state.range(0)];
    const auto demo = standing_at(name);
    const auto kit = kit_with_letters();
    kit->set_size(1280, 800, 6.3f, 1.0f);
    settle(demo->app(), *kit);
    Glass glass;
    glass.paint(); // the letters are taken over once
    std::vector<double> took;
    for (auto _ : state) {
        const double from = cpu_ms();
        glass.paint();
        took.push_back(cpu_ms() - from);
    }
    state.SetLabel(std::string(name) + " 1280x800");
    state.counters["median_ms"] = median(took);
}
BENCHMARK(paint_a_screen)->DenseRange(0, 4)->Unit(benchmark::kMillisecond);

/// A press, its save with full sync, the choice of the next step, its frames until they settle, its dots.
void press_to_next_question_on_the_glass(benchmark::State& state) {
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / "beckhand-frame-benchmark";
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
    {
        Store store = *Store::open((folder / "log.sqlite").string());
        if (const Outcome filled = fill_log(demo_inside(), pack_inside(), store); !filled) std::abort();
        App app(pack_inside(), Services{&store, clock_now, random_bytes});
        const auto kit = kit_with_letters();
        kit->set_size(1280, 800, 6.3f, 1.0f);
        app.start();
        const auto begin = [&] {
            app.act(StartVisit{app.state().sites.front().id});
            app.act(Say{Began{}});
            settle(app, *kit);
        };
        begin();
        Glass glass;
        glass.paint();
        std::vector<double> took;
        for (auto _ : state) {
            if (app.state().scene.stage != Stage::ask) {
                state.PauseTiming();
                while (app.state().scene.stage == Stage::measure) app.act(Say{*next_event(CaseFile{}, app.pack(), app.state().scene)});
                if (app.state().scene.stage != Stage::ask) {
                    app.act(Say{Closed{Closing::left_as_is}});
                    begin();
                }
                state.ResumeTiming();
            }
            const auto from = std::chrono::steady_clock::now();
            kit->press_key('1'); // heard in the next frame, as a finger's press is
            app.frame(*kit);
            settle(app, *kit);
            glass.paint();
            const std::chrono::duration<double, std::milli> whole = std::chrono::steady_clock::now() - from;
            took.push_back(whole.count());
        }
        std::sort(took.begin(), took.end());
        state.counters["median_ms"] = median(took);
        state.counters["p95_ms"] = took[took.size() * 95 / 100];
    }
    std::filesystem::remove_all(folder);
}
BENCHMARK(press_to_next_question_on_the_glass)->Unit(benchmark::kMillisecond)->UseRealTime();

} // namespace
} // namespace beckhand

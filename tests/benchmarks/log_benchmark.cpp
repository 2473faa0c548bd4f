// The log after years: 500 sites with 10,000 visits of 15 events. Saving an answer to it (p50 and p95 beside
// the mean), opening it, and reading any list. The log is made once, in the temporary folder.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "app/app.h"
#include "engine/records/event_json.h"
#include "engine/records/store.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

constexpr int sites = 500;
constexpr int visits = 10'000;
constexpr int events = 15;

Event event_of(int visit, int number) {
    Event event;
    event.number = number;
    event.at.ms = 1'780'000'000'000 + visit * 3'600'000LL + number * 60'000LL;
    event.by = "keeper";
    if (number == 1) {
        Site site;
        site.name = "Site " + std::to_string(visit % sites);
        site.fall = metres(3.7);
        event.what = Opened{"site-" + std::to_string(visit % sites), site, "1", "hash"};
    } else if (number == events) {
        event.what = Closed{Closing::proved};
    } else if (number == events - 1) {
        event.what = Judged{"cause_" + std::to_string(visit % 40), Verdict::proved};
    } else {
        event.what = Answered{"observation_" + std::to_string(number), "answer_" + std::to_string(visit % 5), false};
    }
    return event;
}

/// Made as the entries of one device and taken in, for committing each would take minutes.
const std::string& years_of_log() {
    static const std::string path = [] {
        const auto folder = std::filesystem::temp_directory_path() / "beckhand-log-benchmark";
        std::filesystem::remove_all(folder);
        std::filesystem::create_directories(folder);
        std::vector<LogEntry> entries;
        Hash last{};
        const auto add = [&](const std::string& subject, std::int64_t place, Instant at, std::string kind, std::string json) {
            LogEntry entry;
            entry.device = std::string(32, 'b');
            entry.number = static_cast<std::int64_t>(entries.size()) + 1;
            entry.subject = subject;
            entry.place = place;
            entry.at = at;
            entry.by = "keeper";
            entry.kind = std::move(kind);
            entry.headline = "Less water at the tank";
            entry.json = std::move(json);
            entry.prev = last;
            entry.hash = last = hash_of(entry);
            entries.push_back(std::move(entry));
        };
        for (int site = 0; site < sites; ++site)
            add("site-" + std::to_string(site), 1, Instant{1'780'000'000'000}, std::string(site_sheet_kind),
                to_json(std::get<Opened>(event_of(site, 1).what).site));
        for (int visit = 0; visit < visits; ++visit) {
            for (int number = 1; number <= events; ++number) {
                const Event event = event_of(visit, number);
                add("visit-" + std::to_string(visit), number, event.at, std::string(kind_of(event.what)), to_json(event.what));
            }
        }
        const std::string file = (folder / "log.sqlite").string();
        Store store = *Store::open(file);
        if (!store.take_in(entries)) std::abort();
        return file;
    }();
    return path;
}

void save_an_answer(benchmark::State& state) {
    Store store = *Store::open(years_of_log());
    std::vector<double> took;
    static int visit = 1'000'000;
    for (auto _ : state) {
        const int number = 1 + static_cast<int>(took.size()) % events;
        visit += number == 1;
        const Event event = event_of(visit, number);
        const auto begin = std::chrono::steady_clock::now();
        store.commit("new-" + std::to_string(visit), event, "Less water at the tank", [](const Outcome& done) {
            if (!done) std::abort();
        });
        const std::chrono::duration<double, std::milli> ms = std::chrono::steady_clock::now() - begin;
        took.push_back(ms.count());
    }
    std::sort(took.begin(), took.end());
    state.counters["p50_ms"] = took[took.size() / 2];
    state.counters["p95_ms"] = took[took.size() * 95 / 100];
}
BENCHMARK(save_an_answer)->Unit(benchmark::kMillisecond)->UseRealTime();

/// From nothing to what the first screen shows: the sites, the visits, the one to go on with.
void open_years_of_log(benchmark::State& state) {
    for (auto _ : state) {
        const Store store = *Store::open(years_of_log());
        benchmark::DoNotOptimize(store.sites());
        benchmark::DoNotOptimize(store.visits());
        benchmark::DoNotOptimize(store.open_visit());
    }
}
BENCHMARK(open_years_of_log)->Unit(benchmark::kMillisecond)->UseRealTime();

/// The whole program's start with such a log: all that stands before the first screen.
void start_over_years_of_log(benchmark::State& state) {
    for (auto _ : state) {
        Store store = *Store::open(years_of_log());
        App app(tests::shipped_pack(), Services{&store, [] { return Instant{1'800'000'000'000}; }, {}});
        app.start();
        benchmark::DoNotOptimize(app.state());
    }
}
BENCHMARK(start_over_years_of_log)->Unit(benchmark::kMillisecond)->UseRealTime();

void list_all_visits(benchmark::State& state) {
    const Store store = *Store::open(years_of_log());
    for (auto _ : state) benchmark::DoNotOptimize(store.visits());
}
BENCHMARK(list_all_visits)->Unit(benchmark::kMillisecond)->UseRealTime();

void list_one_sites_visits(benchmark::State& state) {
    const Store store = *Store::open(years_of_log());
    for (auto _ : state) benchmark::DoNotOptimize(store.visits("site-7"));
}
BENCHMARK(list_one_sites_visits)->Unit(benchmark::kMillisecond)->UseRealTime();

void list_all_sites(benchmark::State& state) {
    const Store store = *Store::open(years_of_log());
    for (auto _ : state) benchmark::DoNotOptimize(store.sites());
}
BENCHMARK(list_all_sites)->Unit(benchmark::kMillisecond)->UseRealTime();

void read_one_visit(benchmark::State& state) {
    const Store store = *Store::open(years_of_log());
    for (auto _ : state) benchmark::DoNotOptimize(store.events("visit-4711"));
}
BENCHMARK(read_one_visit)->Unit(benchmark::kMillisecond)->UseRealTime();

/// What every visit waits for when it is opened.
void count_proved_repairs(benchmark::State& state) {
    const Store store = *Store::open(years_of_log());
    for (auto _ : state) {
        const auto repairs = store.proved_repairs();
        if (!repairs || repairs->size() < visits) state.SkipWithError("not every repair was counted");
    }
}
BENCHMARK(count_proved_repairs)->Unit(benchmark::kMillisecond)->UseRealTime();

/// `beckhand log check`: every hash, the whole file, all lists anew.
void check_years_of_log(benchmark::State& state) {
    Store store = *Store::open(years_of_log());
    for (auto _ : state) benchmark::DoNotOptimize(store.check());
}
BENCHMARK(check_years_of_log)->Unit(benchmark::kMillisecond)->UseRealTime()->Iterations(1);

} // namespace
} // namespace beckhand

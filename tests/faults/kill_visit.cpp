// The whole program, without its window, is killed at random moments while a visit is played through it. The
// log must then hold every event that it had called saved and at most one more; a new start must go on at the
// very scene that the log gives; and the visit must come out as it does when nobody kills anything.
// The number of kills is BECKHAND_KILLS, or 2,000.
#if defined(__linux__)

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <random>
#include <thread>

#include "app/app.h"
#include "app/terminal/script.h"
#include "engine/records/event_json.h"
#include "tests/faults/scratch.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;

constexpr const char* site_id = "5b0e7d31c2f849a6b7d0e1f2a3c4d5e6";

/// A visit with every kind of event in it: told, asked, measured, fixed, better, better again, closed. Nothing is proved,
/// so that the log recalls nothing at the next visit and each is the same as the first.
const CaseFile& long_visit() {
    static const CaseFile file = [] {
        const Result<CaseFile> read = read_case(R"(
first_told = ["beat_now"]
cause = "waste_propped"
[site]
name = "Vessenhope"
fall_m = 4.5
lift_m = 40
drive_length_m = 36
drive_bore_mm = 75
[site.record]
beat_per_min = 50
waste_flow_lpm = 80
delivered_flow_lpm = 4.8
[answers]
beat_now = "stopped_open"
onset = "sudden"
before_it = "flood_or_storm"
waste_splash = "sheet_all_time"
open_flow = "weaker"
water_look = "leafy_or_weedy"
drive_gate = "full_open"
[measured]
T = 7
[after]
Q = 3.4
B = 42
yes = true
[then]
cause = "header_silted"
[then.answers]
hand_start = "runs_on"
silt_depth = "to_pipe_mouth"
valve_face = "clean"
[then.after]
Q = 3.9
B = 46
yes = true
)",
                                                "kill_visit", shipped_pack());
        REQUIRE_MESSAGE(read.has_value(), (read ? "" : read.error().sentence()));
        return *read;
    }();
    return file;
}

/// Time and ids are counted on from what the log holds, so that no two visits share an id.
App app_on(Store& store, std::uint32_t& count) {
    Services services;
    services.store = &store;
    services.now = [&count] { return Instant{1'780'000'000'000 + 1'000 * std::int64_t{++count}}; };
    services.random = [&count] {
        std::array<std::uint8_t, 16> bytes{};
        for (std::size_t i = 0; i < 4; ++i)
            bytes[i] = static_cast<std::uint8_t>(++count >> (8 * i));
        return bytes;
    };
    return App(shipped_pack(), services);
}

bool under_way(const App& app) {
    return app.state().screen == Screen::visit && !app.state().scene.visit.closed;
}

/// What comes next whatever is on the screen: a visit is started, or goes on.
Intent next_intent(const App& app) {
    if (!under_way(app))
        return StartVisit{site_id};
    return Say{next_or_closing(long_visit(), app.pack(), app.state().scene)};
}

std::uint32_t events_in(const Store& store) {
    std::uint32_t sum = 0;
    const Result<std::vector<VisitRow>> rows = store.visits();
    REQUIRE(rows.has_value());
    for (const VisitRow& row : *rows)
        sum += static_cast<std::uint32_t>(row.events);
    return sum;
}

/// What one visit consists of when nobody kills anything.
std::vector<std::string> undisturbed() {
    Result<Store> store = Store::open(":memory:");
    REQUIRE(store.has_value());
    store->save_site({site_id, long_visit().site}, Instant{1}, {});
    std::uint32_t count = 0;
    App app = app_on(*store, count);
    app.start();
    do {
        app.act(next_intent(app));
        REQUIRE_FALSE(app.state().trouble.has_value());
    } while (!app.state().scene.visit.closed && count < 500);
    std::vector<std::string> events;
    for (const Event& event : app.state().events)
        events.push_back(to_json(event.what));
    return events;
}

/// What the child does until it is killed. `early` says "saved" before it is: the control that must fail.
[[noreturn]] void play_without_end(const std::string& path, std::uint32_t count, int pipe_end, bool early) {
    Result<Store> store = Store::open(path);
    if (!store)
        _exit(3);
    App app = app_on(*store, count);
    app.start();
    const auto tell = [pipe_end] {
        if (write(pipe_end, "s", 1) != 1)
            _exit(4);
    };
    while (true) {
        const Intent intent = next_intent(app);
        const std::size_t before = under_way(app) ? app.state().events.size() : 0;
        if (early)
            tell();
        app.act(intent);
        if (app.state().trouble || app.state().events.size() != before + 1)
            _exit(5);
        if (!early)
            tell();
    }
}

/// How long a child takes from its start to so many events on this machine, in microseconds.
int time_of_events(const std::string& path, int events) {
    {
        Result<Store> store = Store::open(path);
        REQUIRE(store.has_value());
        store->save_site({site_id, long_visit().site}, Instant{1}, {});
    }
    std::array<int, 2> ends{};
    REQUIRE(pipe(ends.data()) == 0);
    const auto start = std::chrono::steady_clock::now();
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0)
        play_without_end(path, 0, ends[1], false);
    close(ends[1]);
    int told = 0;
    for (char said = 0; told < events && read(ends[0], &said, 1) == 1;)
        ++told;
    const auto took = std::chrono::steady_clock::now() - start;
    kill(child, SIGKILL);
    waitpid(child, nullptr, 0);
    close(ends[0]);
    REQUIRE(told == events);
    return static_cast<int>(std::chrono::duration_cast<std::chrono::microseconds>(took).count());
}

struct Tally {
    int kills = 0, acknowledged = 0, lost = 0, unsaid = 0, too_many = 0, astray = 0, before_first = 0,
        mid_visit = 0;
    void operator+=(const Tally& other) {
        kills += other.kills, acknowledged += other.acknowledged, lost += other.lost, unsaid += other.unsaid;
        too_many += other.too_many, astray += other.astray, before_first += other.before_first;
        mid_visit += other.mid_visit;
    }
};

/// A new program on the log: where does it go on, and where does the log say it should?
void start_again(Store& store, const std::vector<std::string>& meant, Tally& tally) {
    std::uint32_t count = 0;
    App app = app_on(store, count);
    app.start();
    REQUIRE_FALSE(app.state().trouble.has_value());
    const Result<std::optional<std::string>> open = store.open_visit();
    REQUIRE(open.has_value());
    if (!*open) {
        tally.astray += app.state().screen != Screen::sites;
        return;
    }
    ++tally.mid_visit;
    const Result<std::vector<Event>> events = store.events(**open);
    REQUIRE(events.has_value());
    const Scene wanted = scene_of(shipped_pack(), Model(shipped_pack()), fold(*events));
    const Scene& found = app.state().scene;
    const bool same = app.state().screen == Screen::visit && app.state().visit_id == **open &&
                      found.stage == wanted.stage && found.observation == wanted.observation &&
                      found.measurement == wanted.measurement && found.cause == wanted.cause &&
                      found.belief.cause == wanted.belief.cause && found.asked == wanted.asked;
    tally.astray += !same;
    for (std::size_t i = 0; i < events->size(); ++i) {
        tally.astray += i >= meant.size() || to_json((*events)[i].what) != meant[i];
    }
}

void kill_once(const std::string& path, int microseconds, bool early, const std::vector<std::string>& meant,
               std::uint32_t& held, Tally& tally) {
    std::array<int, 2> ends{};
    REQUIRE(pipe(ends.data()) == 0);
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        close(ends[0]);
        play_without_end(path, held * 20, ends[1], early);
    }
    close(ends[1]);
    std::this_thread::sleep_for(std::chrono::microseconds(microseconds));
    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    REQUIRE_MESSAGE(WIFSIGNALED(status), "the child gave up by itself: ", WEXITSTATUS(status));
    std::uint32_t acknowledged = 0;
    for (char said = 0; read(ends[0], &said, 1) == 1;)
        ++acknowledged;
    close(ends[0]);

    Result<Store> store = Store::open(path);
    REQUIRE_MESSAGE(store.has_value(), (store ? "" : store.error().sentence()));
    const std::uint32_t now = events_in(*store);
    ++tally.kills;
    tally.acknowledged += static_cast<int>(acknowledged);
    tally.before_first += acknowledged == 0;
    tally.lost += now < held + acknowledged;
    tally.unsaid += now == held + acknowledged + 1;
    tally.too_many += now > held + acknowledged + 1;
    held = now;
    start_again(*store, meant, tally);
}

Tally kill_many(int kills, bool early, unsigned seed) {
    const tests::ScratchFolder folder;
    const std::string path = folder.file("log.db");
    {
        Result<Store> store = Store::open(path);
        REQUIRE(store.has_value());
        bool saved = false;
        store->save_site({site_id, long_visit().site}, Instant{1},
                         [&](const Outcome& done) { saved = done.has_value(); });
        REQUIRE(saved);
    }
    const std::vector<std::string> meant = undisturbed();
    std::mt19937 random(seed);
    std::uniform_int_distribution<int> moment(0, time_of_events(folder.file("trial.db"), 25));
    Tally tally;
    std::uint32_t held = 0;
    while (tally.kills < kills && !(early && tally.lost > 0)) {
        kill_once(path, moment(random), early, meant, held, tally);
    }
    const Result<Store> store = Store::open(path);
    REQUIRE(store.has_value());
    const Result<std::vector<VisitRow>> rows = store->visits();
    REQUIRE(rows.has_value());
    for (const VisitRow& row : *rows) {
        const std::vector<Event> events = *store->events(row.id);
        CHECK(row.events == static_cast<int>(events.size()));
        if (!row.closed)
            continue;
        // However often it was killed, each finished visit is the undisturbed one.
        CHECK(events.size() == meant.size());
        for (std::size_t i = 0; i < std::min(events.size(), meant.size()); ++i) {
            CHECK(to_json(events[i].what) == meant[i]);
        }
    }
    return tally;
}

TEST_CASE("a program killed in the middle of a visit goes on where the log says, with nothing lost") {
    const int kills = tests::wanted_kills();
    const unsigned seed = 20'262;
    CAPTURE(seed);
    Tally tally;
    for (unsigned round = 0; tally.kills < kills; ++round) // each on a log of its own: a long one opens slowly
        tally += kill_many(std::min(200, kills - tally.kills), false, seed + round);
    MESSAGE("kills ", tally.kills, ", of them in a visit ", tally.mid_visit, ", acknowledged ",
            tally.acknowledged, ", lost ", tally.lost, ", saved but not yet said ", tally.unsaid,
            ", killed before the first event ", tally.before_first);
    CHECK(tally.kills == kills);
    CHECK(tally.acknowledged > kills);
    CHECK(tally.lost == 0);
    CHECK(tally.too_many == 0);
    CHECK(tally.astray == 0);
    CHECK(tally.mid_visit > kills / 2);
}

TEST_CASE("the kill test of a visit finds a program that says saved too early") {
    CHECK(kill_many(400, true, 7).lost > 0);
}

TEST_CASE("the visit that is killed holds every kind of event but taking back and stop rules") {
    const std::vector<std::string> events = undisturbed();
    for (const char* kind : {"opened", "answered", "began", "fix_chosen", "checked", "step_ticked",
                             "fix_finished", "measured", "proof_seen", "judged", "closed"}) {
        CAPTURE(kind);
        CHECK(std::any_of(events.begin(), events.end(),
                          [&](const std::string& json) { return json.find(kind) != std::string::npos; }));
    }
}

} // namespace
} // namespace beckhand

#endif

// A process that saves answers is killed at random moments; the log must then hold every answer that it
// had been told was saved, each once. One more may be there: committed, but killed before it could say so.
// The number of kills is BECKHAND_KILLS, or 2,000.
#if defined(__linux__)

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <map>
#include <random>
#include <thread>

#include "engine/records/event_json.h"
#include "engine/records/store.h"
#include "tests/faults/driven.h"
#include "tests/faults/scratch.h"

namespace beckhand {
namespace {

constexpr int events_per_visit = 12;
constexpr int visits = 100'000;

struct Place { // of an event in the whole run
    int visit = 0;
    int number = 0;
};

std::string visit_id(int visit) {
    return "visit-" + std::to_string(visit);
}

/// The event of a place is always the same, so that what the log holds can be held against it.
Event event_at(Place place) {
    Event event;
    event.number = place.number;
    event.at.ms = 1'700'000'000'000 + place.visit * 1'000 + place.number;
    event.by = "caretaker";
    const std::string mark = std::to_string(place.visit) + "." + std::to_string(place.number);
    if (place.number == 1) {
        Site site;
        site.name = "Site of " + mark;
        site.fall = metres(1 + place.visit % 7);
        event.what = Opened{"site", site, "1", "hash"};
    } else if (place.number == events_per_visit) {
        event.what = Closed{Closing::proved}; // folds the write-ahead file in: kills fall there as well
    } else if (place.number % 3 == 0) {
        event.what = Measured{"m" + mark, place.visit / 3.0 + place.number, Care::careful};
    } else {
        event.what = Answered{"o" + mark, "yes", false};
    }
    return event;
}

Place after(Place place) {
    return place.number < events_per_visit ? Place{place.visit, place.number + 1} : Place{place.visit + 1, 1};
}

/// What the child does until it is killed. `early` says "saved" before it is: the control that must fail.
[[noreturn]] void save_without_end(const std::string& path, Place place, int pipe_end, bool early) {
    Result<Store> store = Store::open(path);
    if (!store)
        _exit(3);
    for (; place.visit < visits; place = after(place)) {
        const auto tell = [&] {
            if (write(pipe_end, &place, sizeof place) != static_cast<ssize_t>(sizeof place))
                _exit(4);
        };
        if (early)
            tell();
        store->commit(visit_id(place.visit), event_at(place), "headline", [&](const Outcome& saved) {
            if (!saved)
                _exit(5);
            if (!early)
                tell();
        });
    }
    _exit(6);
}

/// How long a child takes from its start to its twentieth answer on this machine, in microseconds: kills
/// at random within that time fall on the opening of the log, on commits, and on closings.
int time_of_twenty(const std::string& path) {
    std::array<int, 2> ends{};
    REQUIRE(pipe(ends.data()) == 0);
    const auto start = std::chrono::steady_clock::now();
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0)
        save_without_end(path, Place{0, 1}, ends[1], false);
    close(ends[1]);
    int told = 0;
    for (Place place; told < 20 && read(ends[0], &place, sizeof place) == static_cast<ssize_t>(sizeof place);)
        ++told;
    const auto took = std::chrono::steady_clock::now() - start;
    kill(child, SIGKILL);
    waitpid(child, nullptr, 0);
    close(ends[0]);
    REQUIRE(told == 20);
    return static_cast<int>(std::chrono::duration_cast<std::chrono::microseconds>(took).count());
}

struct Tally {
    int kills = 0, acknowledged = 0, lost = 0, doubled = 0, wrong = 0, unsaid = 0, before_first = 0;
    void operator+=(const Tally& other) {
        kills += other.kills, acknowledged += other.acknowledged, lost += other.lost, doubled += other.doubled;
        wrong += other.wrong, unsaid += other.unsaid, before_first += other.before_first;
    }
};

/// One child, killed after `microseconds`; then the log is opened and held against what was acknowledged.
/// `place` is the first that is not known to be saved.
void kill_once(const std::string& path, int microseconds, bool early, Place& place, Tally& tally) {
    std::array<int, 2> ends{};
    REQUIRE(pipe(ends.data()) == 0);
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0)
        save_without_end(path, place, ends[1], early);
    close(ends[1]);
    std::this_thread::sleep_for(std::chrono::microseconds(microseconds));
    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    REQUIRE_MESSAGE(WIFSIGNALED(status), "the child gave up by itself: ", WEXITSTATUS(status));

    const Place from = place;
    int acknowledged = 0;
    for (Place told; read(ends[0], &told, sizeof told) == static_cast<ssize_t>(sizeof told); ++acknowledged)
        place = after(told);
    close(ends[0]);
    ++tally.kills;
    tally.acknowledged += acknowledged;
    tally.before_first += acknowledged == 0;

    const Result<Store> store = Store::open(path);
    REQUIRE_MESSAGE(store.has_value(), (store ? "" : store.error().sentence()));
    // The visits this child touched; what earlier children left is looked at again at the end.
    for (int visit = from.visit; visit <= place.visit; ++visit) {
        const Result<std::vector<Event>> kept = store->events(visit_id(visit));
        REQUIRE(kept.has_value());
        const int wanted = visit < place.visit ? events_per_visit : place.number - 1;
        std::map<int, int> times;
        for (const Event& event : *kept) {
            ++times[event.number];
            const Event meant = event_at({visit, event.number});
            tally.wrong += to_json(event.what) != to_json(meant.what) || event.at != meant.at;
        }
        for (int number = 1; number <= wanted; ++number)
            tally.lost += !times.contains(number);
        for (const auto& [number, count] : times) {
            tally.doubled += count - 1;
            tally.unsaid += number > wanted;
        }
    }
}

Tally kill_many(int kills, bool early, unsigned seed) {
    const tests::ScratchFolder folder;
    const std::string path = folder.file("log.db");
    std::mt19937 random(seed);
    std::uniform_int_distribution<int> moment(0, time_of_twenty(folder.file("trial.db")));
    Tally tally;
    Place place{0, 1};
    while (tally.kills < kills && !(early && tally.lost > 0))
        kill_once(path, moment(random), early, place, tally);

    const Result<Store> store = Store::open(path);
    REQUIRE(store.has_value());
    const Result<std::vector<VisitRow>> rows = store->visits();
    REQUIRE(rows.has_value());
    int listed = 0;
    for (const VisitRow& row : *rows) {
        const std::vector<Event> events = *store->events(row.id);
        CHECK(row.events == static_cast<int>(events.size())); // the list agrees with what it lists
        CHECK(row.closed == fold(events).closed);
        CHECK(row.last_at == events.back().at);
        listed += row.events;
    }
    if (!early) {
        const int saved = place.visit * events_per_visit + place.number - 1;
        CHECK(listed >= saved);
        CHECK(listed <= saved + 1);
    }
    return tally;
}

TEST_CASE("a killed program loses no answer that it called saved, and doubles none") {
    const int kills = tests::wanted_kills();
    const unsigned seed = 20'261;
    CAPTURE(seed);
    Tally tally;
    for (unsigned round = 0; tally.kills < kills; ++round) // each on a log of its own: a long one opens slowly
        tally += kill_many(std::min(200, kills - tally.kills), false, seed + round);
    MESSAGE("kills ", tally.kills, ", acknowledged ", tally.acknowledged, ", lost ", tally.lost, ", doubled ",
            tally.doubled, ", saved but not yet said ", tally.unsaid, ", killed before the first answer ",
            tally.before_first);
    CHECK(tally.kills == kills);
    CHECK(tally.acknowledged > kills);
    CHECK(tally.lost == 0);
    CHECK(tally.doubled == 0);
    CHECK(tally.wrong == 0);
}

/// Takes in visit after visit of another device, and says so behind each.
[[noreturn]] void take_in_without_end(const std::string& path, const std::vector<LogEntry>& all, int pipe_end) {
    Result<Store> store = Store::open(path);
    constexpr std::size_t part = tests::events_per_driven_visit;
    for (std::size_t taken = 0; store && taken < all.size(); taken += part) {
        if (!store->take_in(std::span(all).subspan(taken, part)))
            _exit(5);
        if (write(pipe_end, "t", 1) != 1)
            _exit(4);
    }
    pause();
    _exit(3);
}

TEST_CASE("a program killed while it takes visits in has each of them whole or not at all, and all it spoke of") {
    const std::vector<LogEntry> all = tests::foreign_entries(40);
    std::mt19937 random(20'264);
    const int kills = std::min(300, tests::wanted_kills());
    std::size_t told_in_all = 0;
    int in_between = 0;
    for (int killed = 0; killed < kills; ++killed) {
        const tests::ScratchFolder folder;
        const std::string path = folder.file("log.db");
        std::array<int, 2> ends{};
        REQUIRE(pipe(ends.data()) == 0);
        const pid_t child = fork();
        REQUIRE(child >= 0);
        if (child == 0)
            take_in_without_end(path, all, ends[1]);
        close(ends[1]);
        // Counted by what it says, not by the clock alone: a busy machine would have it killed before it began.
        const std::size_t enough = random() % 40;
        std::size_t told = 0;
        char one = 0;
        while (told < enough && read(ends[0], &one, 1) == 1)
            ++told;
        std::this_thread::sleep_for(std::chrono::microseconds(random() % 3'000));
        kill(child, SIGKILL);
        int status = 0;
        waitpid(child, &status, 0);
        REQUIRE(WIFSIGNALED(status));
        while (read(ends[0], &one, 1) == 1)
            ++told;
        close(ends[0]);
        const Result<Store> store = Store::open(path);
        REQUIRE(store.has_value());
        const std::size_t there = store->entries()->size();
        CHECK(there % tests::events_per_driven_visit == 0);
        CHECK(there >= told * tests::events_per_driven_visit);
        CHECK(store->visits()->size() == there / tests::events_per_driven_visit);
        told_in_all += told;
        in_between += there > 0 && there < all.size();
    }
    MESSAGE("taken in and said ", told_in_all, ", killed in between ", in_between);
    CHECK(in_between > kills / 2);
}

TEST_CASE("the kill test finds a program that says saved too early") {
    CHECK(kill_many(400, true, 7).lost > 0);
}

} // namespace
} // namespace beckhand

#endif

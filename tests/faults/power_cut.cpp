// The power is cut at every write and sync of a log at work, and whatever may then be on the disk is opened
// again: nothing, all, a beginning, or some sectors of what was not yet synced, torn ones among them. Every
// answer that was called saved must be there, whole and in its order.
// BECKHAND_POWER_CUTS is the number of places to cut at, each with ten images; 1,000 without it.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iterator>

#include "tests/faults/disk.h"
#include "tests/faults/driven.h"
#include "tests/faults/scratch.h"

namespace beckhand {
namespace {

using namespace tests;
using Survives = PowerCut::Survives;

constexpr int driven_visits = 60;
constexpr int import_every = 15; // visits

std::size_t wanted_cuts() {
    const char* const wanted = std::getenv("BECKHAND_POWER_CUTS");
    return wanted ? static_cast<std::size_t>(std::max(1, std::atoi(wanted))) : 1'000;
}

/// From `step` on so many entries have been called saved.
struct Said {
    std::size_t step = 0;
    std::size_t own = 0, foreign = 0;
};

struct Run {
    std::vector<Said> said{Said{}};
    std::vector<Hash> own; // of the log's own entries, in their order
    [[nodiscard]] const Said& at(std::size_t step) const {
        const auto next = std::upper_bound(said.begin(), said.end(), step,
                                           [](std::size_t s, const Said& one) { return s < one.step; });
        return *std::prev(next);
    }
};

/// SQL that every connection runs once it is open: how the control turns the syncs down.
class AfterOpening {
public:
    AfterOpening() { sqlite3_auto_extension(reinterpret_cast<void (*)()>(&install)); }
    ~AfterOpening() { sqlite3_cancel_auto_extension(reinterpret_cast<void (*)()>(&install)); }
    AfterOpening(const AfterOpening&) = delete;
    AfterOpening& operator=(const AfterOpening&) = delete;
    static void run(const char* sql) { REQUIRE(sqlite3_exec(last, sql, nullptr, nullptr, nullptr) == SQLITE_OK); }

private:
    static int install(sqlite3* connection, const char**, const void*) {
        last = connection;
        return SQLITE_OK;
    }
    static inline sqlite3* last = nullptr;
};

enum class Variant { as_built, sync_normal, sync_off, said_early };

/// Opens a log, plays visits into it, takes in another device's, closes it. All on `disk`, which notes.
Run drive(Disk& disk, const std::string& path, Variant variant, int visits) {
    Run run;
    const std::vector<LogEntry> foreign = foreign_entries(driven_visits / import_every);
    std::size_t own = 0, taken = 0;
    const auto say = [&] { run.said.push_back({disk.steps.size(), own, taken}); };
    const AfterOpening after;
    Result<Store> store = Store::open(path);
    REQUIRE(store.has_value());
    if (variant == Variant::sync_normal)
        AfterOpening::run("PRAGMA synchronous=NORMAL");
    if (variant == Variant::sync_off)
        AfterOpening::run("PRAGMA synchronous=OFF");
    for (int visit = 0; visit < visits; ++visit) {
        for (int number = 1; number <= events_per_driven_visit; ++number) {
            if (variant == Variant::said_early) {
                ++own;
                say();
            }
            REQUIRE(saves(*store, "visit-" + std::to_string(visit), driven_event(visit, number)));
            if (variant != Variant::said_early) {
                ++own;
                say();
            }
        }
        if (visit % import_every == import_every - 1) {
            const auto part = static_cast<std::size_t>(events_per_driven_visit);
            REQUIRE(store->take_in(std::span(foreign).subspan(taken, part)).has_value());
            taken += part;
            say();
        }
    }
    const auto entries = store->entries();
    REQUIRE(entries.has_value());
    for (const LogEntry& entry : *entries) {
        if (entry.device != foreign.front().device)
            run.own.push_back(entry.hash);
    }
    return run;
}

struct Tally {
    std::size_t steps = 0, cuts = 0, images = 0, corrupt = 0, lost = 0, half = 0;
    std::string first; // what the first bad image said
};

/// Opens what the power cut left, and holds it against what had been said.
void look_at(Disk& disk, Image image, const std::string& path, const Run& run, std::size_t step, bool thoroughly,
             Tally& tally) {
    ++tally.images;
    disk.load(std::move(image));
    const auto bad = [&](std::size_t& count, const std::string& what) {
        ++count;
        if (tally.first.empty())
            tally.first = "step " + std::to_string(step) + ": " + what;
    };
    Result<Store> store = Store::open(path);
    if (!store)
        return bad(tally.corrupt, store.error().sentence());
    if (const auto notice = store->notice())
        return bad(tally.corrupt, notice->sentence());
    const auto entries = store->entries();
    if (!entries)
        return bad(tally.corrupt, entries.error().sentence());
    const Said& said = run.at(step);
    std::vector<Hash> own;
    std::size_t foreign = 0;
    for (const LogEntry& entry : *entries) {
        if (entry.device == std::string(32, 'f'))
            ++foreign;
        else
            own.push_back(entry.hash);
    }
    if (own.size() < said.own || foreign < said.foreign)
        return bad(tally.lost, "of " + std::to_string(said.own) + " there are " + std::to_string(own.size()));
    if (own.size() > run.own.size() || !std::equal(own.begin(), own.end(), run.own.begin()))
        return bad(tally.corrupt, "another order or content");
    if (own.size() > said.own + 1 || foreign % static_cast<std::size_t>(events_per_driven_visit) != 0)
        return bad(tally.half, "more than one not said, or half of what was taken in");
    if (!thoroughly)
        return;
    const auto check = store->check();
    if (!check || !check->broken.empty() || check->lists_differed)
        bad(tally.corrupt, check ? (check->broken.empty() ? "lists differ" : check->broken.front())
                                 : check.error().sentence());
}

Tally cut_everywhere(Variant variant, std::size_t cuts, int visits, unsigned seed, const std::string& lies = {}) {
    const ScratchFolder folder;
    const std::string path = folder.file("log.sqlite");
    Disk disk;
    disk.lies_about = lies;
    PowerCut power(disk.steps, disk);
    disk.noting = true;
    const Run run = drive(disk, path, variant, visits);
    disk.noting = false;
    std::mt19937 random(seed);
    Tally tally;
    const std::size_t steps = tally.steps = disk.steps.size();
    for (std::size_t cut = 0; cut < cuts; ++cut) {
        const std::size_t step = std::min(steps, cut * steps / cuts + (cuts < steps ? random() % (steps / cuts) : 0));
        ++tally.cuts;
        for (const Survives what : {Survives::none, Survives::all, Survives::prefix, Survives::prefix,
                                    Survives::subset, Survives::subset, Survives::subset, Survives::torn,
                                    Survives::torn, Survives::torn}) {
            look_at(disk, power.image(step, what, random), path, run, step, tally.images % 97 == 0, tally);
        }
    }
    return tally;
}

TEST_CASE("a power cut at any write or sync loses no answer that was called saved") {
    const unsigned seed = 20'263;
    CAPTURE(seed);
    const Tally tally = cut_everywhere(Variant::as_built, wanted_cuts(), driven_visits, seed);
    MESSAGE("cuts ", tally.cuts, " of ", tally.steps, " steps, images ", tally.images, ", lost ", tally.lost, ", corrupt ", tally.corrupt);
    CAPTURE(tally.first);
    CHECK(tally.steps >= 10'000);
    CHECK(tally.cuts == wanted_cuts());
    CHECK(tally.images == 10 * tally.cuts);
    CHECK(tally.lost == 0);
    CHECK(tally.corrupt == 0);
    CHECK(tally.half == 0);
}

TEST_CASE("the power cuts find a log whose syncs are turned down") {
    CHECK(cut_everywhere(Variant::sync_normal, 100, 4, 1).lost > 0);
    const Tally off = cut_everywhere(Variant::sync_off, 100, 4, 2);
    CHECK(off.lost > 0);
    CHECK(off.lost + off.corrupt > 100);
}

TEST_CASE("the power cuts find a disk that passes over syncs, and a program that says saved too early") {
    CHECK(cut_everywhere(Variant::as_built, 100, 4, 3, "-wal").lost > 0);
    CHECK(cut_everywhere(Variant::said_early, 200, 4, 4).lost > 0);
}

TEST_CASE("a power cut while a person is erased takes all of their name out or none of it, and breaks no chain") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.sqlite");
    Disk disk;
    PowerCut power(disk.steps, disk);
    disk.noting = true;
    std::size_t begun = 0, said = 0;
    constexpr int saved = 30;
    {
        Result<Store> store = Store::open(path);
        REQUIRE(store.has_value());
        for (int event = 0; event < saved; ++event) {
            REQUIRE(saves(*store, "visit-" + std::to_string(event / events_per_driven_visit),
                          driven_event(event / events_per_driven_visit, 1 + event % events_per_driven_visit)));
        }
        begun = disk.steps.size();
        REQUIRE(store->erase_person("keeper", Instant{1})->erased == saved);
        said = disk.steps.size();
    }
    disk.noting = false;
    REQUIRE(said > begun + 10);
    std::mt19937 random(6);
    int before = 0, after = 0;
    for (std::size_t step = begun; step <= disk.steps.size(); ++step) {
        for (const Survives what : {Survives::none, Survives::all, Survives::prefix, Survives::subset, Survives::torn}) {
            disk.load(power.image(step, what, random));
            CAPTURE(step);
            Result<Store> store = Store::open(path);
            REQUIRE_MESSAGE(store.has_value(), (store ? "" : store.error().sentence()));
            CHECK_FALSE(store->notice().has_value());
            const std::vector<LogEntry> entries = *store->entries();
            const auto named = std::count_if(entries.begin(), entries.end(),
                                             [](const LogEntry& entry) { return entry.by == "keeper"; });
            const bool erased = entries.size() == saved + 1;
            CHECK(named == (erased ? 0 : saved));
            CHECK((erased || step < said));
            CHECK(store->check()->broken.empty());
            (erased ? after : before) += 1;
        }
    }
    CHECK(before > 0);
    CHECK(after > 0);
}

Bytes read_whole(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

TEST_CASE("a power cut while an older log is brought up to date leaves every event there") {
    const std::string data = std::string(SOURCE_FOLDER) + "/tests/faults/data/schema_1";
    for (const std::string& name : {std::string(".sqlite"), std::string("_killed.sqlite")}) {
        CAPTURE(name);
        const ScratchFolder folder;
        const std::string path = folder.file("log.sqlite");
        Image old{{path, read_whole(data + name)}};
        if (name.front() == '_')
            old[path + "-wal"] = read_whole(data + name + "-wal");
        Disk disk;
        disk.load(old);
        PowerCut power(disk.steps, disk);
        disk.noting = true;
        REQUIRE(Store::open(path).has_value());
        disk.noting = false;
        REQUIRE(disk.steps.size() > 20);
        std::mt19937 random(5);
        for (std::size_t step = 0; step <= disk.steps.size(); ++step) {
            for (const Survives what : {Survives::none, Survives::all, Survives::prefix, Survives::subset, Survives::torn}) {
                disk.load(power.image(step, what, random));
                CAPTURE(step);
                Result<Store> store = Store::open(path);
                REQUIRE_MESSAGE(store.has_value(), (store ? "" : store.error().sentence()));
                CHECK_FALSE(store->notice().has_value());
                CHECK(store->entries()->size() == 17);
                CHECK(store->events("22222222222222222222222222222222")->size() == 5);
                CHECK(store->check()->broken.empty());
            }
        }
    }
}

} // namespace
} // namespace beckhand

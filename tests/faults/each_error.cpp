// Everything that the log asks of the disk and of the memory fails, one thing at a time, once and for good,
// while a log is opened, answered, finished, added to from elsewhere, and brought up to date. Nothing may be
// called saved that is not there afterwards, nothing saved before may be gone, and the same thing done again
// on a sound disk is saved once.
// Of a disk's failures every one is tried; of the many allocations some of each work, and every one with
// BECKHAND_EVERY_ALLOCATION set.
#include <doctest/doctest.h>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <iterator>
#include <optional>

#include "tests/faults/disk.h"
#include "tests/faults/driven.h"
#include "tests/faults/failing_memory.h"
#include "tests/faults/scratch.h"

namespace beckhand {
namespace {

using namespace tests;

constexpr const char* visit = "visit-0";

Bytes read_whole(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// What is done while something fails. `claimed`: entries that this made and called saved.
struct Work {
    std::string name;
    int events_before = 0;   // of `visit`, saved before
    bool opens_itself = false;
    std::string old_log;     // file of an older version to begin with
    std::size_t entries_before = 0;
    std::function<std::size_t(Store&)> act;
};

std::size_t save_one(Store& store, int number) {
    return saves(store, visit, driven_event(0, number)) ? 1 : 0;
}

std::vector<Work> all_work() {
    const std::string data = std::string(SOURCE_FOLDER) + "/tests/faults/data/";
    const auto nothing = [](Store&) { return std::size_t{0}; };
    return {
        {"opening a new log", 0, true, "", 0, nothing},
        {"opening a log", 3, true, "", 3, nothing},
        {"beginning a visit", 0, false, "", 0, [](Store& store) { return save_one(store, 1); }},
        {"answering", 3, false, "", 3, [](Store& store) { return save_one(store, 4); }},
        {"finishing", 11, false, "", 11, [](Store& store) { return save_one(store, 12); }},
        {"taking in", 3, false, "", 3,
         [](Store& store) {
             const auto arrived = store.take_in(foreign_entries(1));
             return arrived ? static_cast<std::size_t>(arrived->added) : std::size_t{0};
         }},
        {"saving a site", 3, false, "", 3,
         [](Store& store) {
             bool saved = false;
             Site site;
             site.name = "Alder";
             store.save_site({"site-2", site}, Instant{1}, [&](const Outcome& done) { saved = done.has_value(); });
             return std::size_t{saved};
         }},
        {"erasing a person", 3, false, "", 3,
         [](Store& store) {
             const auto erased = store.erase_person("keeper", Instant{1});
             return erased ? static_cast<std::size_t>(erased->added) : std::size_t{0};
         }},
        {"bringing an older log up to date", 0, true, data + "schema_1.sqlite", 17, nothing},
        {"bringing a killed older log up to date", 0, true, data + "schema_1_killed.sqlite", 17, nothing},
    };
}

Image before(Disk& disk, const std::string& path, const Work& work) {
    if (!work.old_log.empty()) {
        Image image{{path, read_whole(work.old_log)}};
        if (Bytes beside = read_whole(work.old_log + "-wal"); !beside.empty())
            image[path + "-wal"] = std::move(beside);
        return image;
    }
    if (work.opens_itself && work.events_before == 0)
        return {};
    disk.load({});
    Result<Store> store = Store::open(path);
    for (int number = 1; store && number <= work.events_before; ++number)
        save_one(*store, number);
    return disk.image(); // as after a kill: the write-ahead file is there
}

/// How to make things fail: `arm` from the n-th on, `disarm`, and how many there were.
struct Failure {
    std::string name;
    std::function<void(long at, bool keeps)> arm;
    std::function<long()> count;
};

struct Tally {
    long points = 0, told = 0, claimed = 0;
    std::string wrong; // the first thing that must not be
};

/// One failure; returns how many points there are, counted when `at` is 0.
long one_point(Disk& disk, const std::string& path, const Image& image, const Work& work, const Failure& failure,
               long at, bool keeps, Tally& tally) {
    disk.load(image);
    std::size_t claimed = 0;
    bool opened = true;
    long asked = 0;
    {
        std::optional<Store> store;
        if (!work.opens_itself)
            store.emplace(*Store::open(path));
        failure.arm(at, keeps);
        try {
            if (work.opens_itself) {
                Result<Store> own = Store::open(path);
                opened = own.has_value();
                if (own)
                    store.emplace(std::move(*own));
            }
            if (store)
                claimed = work.act(*store);
        } catch (const std::bad_alloc&) {
            claimed = 0; // what is not answered is not called saved
        }
        asked = failure.count();
        if (!keeps)
            failure.arm(0, false);
        // Closing under a failure that stays must not harm either.
    }
    failure.arm(0, false);
    ++tally.points;
    tally.told += !opened || claimed == 0;
    tally.claimed += static_cast<long>(claimed);
    const auto wrong = [&](const std::string& what) {
        if (tally.wrong.empty())
            tally.wrong = work.name + ", " + failure.name + " " + std::to_string(at) + (keeps ? " and on: " : ": ") + what;
    };
    Result<Store> again = Store::open(path);
    if (!again) {
        wrong(again.error().sentence());
        return asked;
    }
    if (const auto notice = again->notice())
        wrong(notice->sentence());
    auto entries = again->entries();
    if (!entries || entries->size() < work.entries_before + claimed)
        wrong("something saved is not there");
    work.act(*again);
    const std::size_t wanted = entries ? std::max(entries->size(), work.entries_before) : 0;
    entries = again->entries();
    const auto check = again->check();
    if (!entries || !check || !check->broken.empty() || check->lists_differed || entries->size() < wanted)
        wrong("the log is not sound afterwards");
    // Done again on a sound disk it is there once: as many entries as when nothing had failed.
    static std::map<std::string, std::size_t> sound_sizes;
    if (at == 0)
        sound_sizes[work.name] = entries ? entries->size() : 0;
    else if (entries && entries->size() != sound_sizes[work.name])
        wrong("doubled or not saved when done again");
    return asked;
}

/// How far apart the allocations are that are tried.
long stride(long points, long most) {
    return std::getenv("BECKHAND_EVERY_ALLOCATION") ? 1 : 1 + points / most;
}

Tally every_point(Disk& disk, const std::string& path, const std::vector<Work>& works, const Failure& failure,
                  long most = 1'000'000) {
    Tally tally;
    for (const Work& work : works) {
        const Image image = before(disk, path, work);
        const long points = one_point(disk, path, image, work, failure, 0, false, tally);
        for (long at = 1; at <= points; at += stride(points, most)) {
            one_point(disk, path, image, work, failure, at, false, tally);
            one_point(disk, path, image, work, failure, at, true, tally);
        }
    }
    return tally;
}

Failure disk_failure(Disk& disk, bool full) {
    return {full ? "full disk at" : "disk error at",
            [&disk, full](long at, bool keeps) {
                disk.asked = 0, disk.fail_at = at, disk.keeps_failing = keeps, disk.full_not_broken = full;
            },
            [&disk] { return disk.asked; }};
}

TEST_CASE("a disk that fails at any one thing brings no false 'saved' and harms nothing saved before") {
    const ScratchFolder folder;
    Disk disk;
    for (const bool full : {false, true}) {
        const Tally tally = every_point(disk, folder.file("log.sqlite"), all_work(), disk_failure(disk, full));
        MESSAGE("full ", full, ": points ", tally.points, ", refused ", tally.told);
        CHECK_MESSAGE(tally.wrong.empty(), tally.wrong);
        CHECK(tally.points > 500);
        CHECK(tally.told > 100);
    }
}

TEST_CASE("SQLite's memory failing at any one allocation brings no false 'saved' and harms nothing saved before") {
    const std::string told = in_child([] {
        install_failing_sqlite();
        const ScratchFolder folder;
        Disk disk;
        const Tally tally =
            every_point(disk, folder.file("log.sqlite"), all_work(),
                        {"SQLite's memory", fail_sqlite, sqlite_allocations}, 60);
        return tally.wrong + "points " + std::to_string(tally.points) + (tally.told > 100 ? ", refused" : ", not refused");
    });
    MESSAGE(told);
    CHECK(told.rfind("points ", 0) == 0);
    CHECK(told.find(", refused") != std::string::npos);
    CHECK(told.find("[the process died]") == std::string::npos);
}

void write_files(const Image& image) {
    for (const auto& [name, bytes] : image) {
        std::ofstream(name, std::ios::binary)
            .write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    }
}

/// One allocation by operator new fails in a process of its own. Gives "claimed,allocations".
std::string with_failing_new(const std::string& path, const Work& work, long at, bool keeps) {
    return in_child([&] {
        fclose(stderr); // a process that ends for want of memory says so there
        std::optional<Store> store(*Store::open(path));
        std::size_t claimed = 0;
        fail_new(at, keeps);
        try {
            claimed = work.act(*store);
        } catch (const std::bad_alloc&) {
            claimed = 0;
        }
        const long asked = news();
        fail_new(0, false);
        return std::to_string(claimed) + "," + std::to_string(asked);
    });
}

TEST_CASE("the program's memory failing at any one allocation brings no false 'saved' and harms nothing saved") {
    // The JSON library allocates in a destructor, where a failure ends the program: allowed here, for then the
    // log must be as after any other end of the program.
    const std::vector<Work> works = all_work();
    long points = 0, refused = 0, died = 0;
    for (const Work* work : {&works[3], &works[4], &works[5], &works[7]}) {
        CAPTURE(work->name);
        const ScratchFolder folder;
        const std::string path = folder.file("log.sqlite");
        Image image;
        {
            Disk disk;
            image = before(disk, path, *work);
        }
        write_files(image);
        const std::string whole = with_failing_new(path, *work, 0, false);
        const long count = std::atol(whole.substr(whole.find(',') + 1).c_str());
        REQUIRE(count > 20);
        for (long at = 1; at <= count; at += stride(count, 60)) {
            for (const bool keeps : {false, true}) {
                CAPTURE(at);
                std::filesystem::remove(path + "-wal");
                write_files(image);
                const std::string told = with_failing_new(path, *work, at, keeps);
                const auto claimed = static_cast<std::size_t>(std::atol(told.c_str()));
                ++points;
                died += told.find("died") != std::string::npos;
                refused += claimed == 0;
                Result<Store> again = Store::open(path);
                REQUIRE(again.has_value());
                CHECK(again->entries()->size() >= work->entries_before + claimed);
                CHECK(again->check()->broken.empty());
                CHECK(work->act(*again) <= foreign_entries(1).size());
                CHECK(again->entries()->size() == work->entries_before + (work == &works[5] ? 12 : 1));
            }
        }
    }
    MESSAGE("points ", points, ", refused ", refused, ", ended for want of memory ", died);
    CHECK(points > 200);
    CHECK(refused > 50);
}

TEST_CASE("the search through all errors finds a program that calls everything saved") {
    const ScratchFolder folder;
    Disk disk;
    std::vector<Work> boastful{all_work()[3]};
    boastful.front().act = [](Store& store) {
        save_one(store, 4);
        return std::size_t{1};
    };
    CHECK_FALSE(every_point(disk, folder.file("log.sqlite"), boastful, disk_failure(disk, false)).wrong.empty());
}

} // namespace
} // namespace beckhand

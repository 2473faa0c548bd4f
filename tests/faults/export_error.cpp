// Everything that writing a file for somebody else asks of the system and of the memory fails, one thing at a
// time, once and for good: the export of a log, a site handed over, and the brief on paper. Nothing may be called
// saved that is not there whole, no half file may stand under its name, the log notes no hand-over that has no
// file, and the same done again is saved.
// Of the many allocations some are tried, and every one with BECKHAND_EVERY_ALLOCATION set.
#include <doctest/doctest.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <new>

#include <sys/resource.h>

#include "app/handover/brief_pdf.h"
#include "app/handover/gather.h"
#include "engine/bundle/export.h"
#include "engine/bundle/slice_cbor.h"
#include "platform/desktop/given_files.h"
#include "platform/desktop/second_folder.h"
#include "tests/engine/store_helpers.h"
#include "tests/faults/failing_calls.h"
#include "tests/faults/failing_memory.h"
#include "tests/support/demo_log.h"
#include "tests/support/program.h"
#include "tests/support/slices.h"

namespace beckhand {
namespace {

using namespace tests;
namespace fs = std::filesystem;

using File = std::pair<std::string, std::string>; // name in the folder, and what it holds
/// Told the path of each file that is called saved.
using Claim = std::function<void(const std::string& path)>;

/// A way to write files into a folder. True when all of it is called saved.
struct Work {
    std::string name;
    std::vector<File> wanted;
    std::function<void(const std::string& folder)> prepare;
    std::function<bool(const std::string& folder, const Claim&)> act;
    std::function<bool(const std::string& folder)> sound = [](const std::string&) { return true; };
};

const bundle::DeviceKey& own_key() {
    static const bundle::DeviceKey key = bundle::device_key(std::array<std::uint8_t, 32>{1});
    return key;
}

std::string text_of(const std::vector<std::uint8_t>& bytes) { return {bytes.begin(), bytes.end()}; }

/// The log that a site is handed over from.
std::string log_bytes() {
    const ScratchFolder folder;
    {
        Result<Store> store = Store::open(folder.file("log"));
        store->save_site({"s1", mill_site()}, Instant{1}, {});
        for (const Event& event : small_visit("s1")) CHECK(save(*store, "v1", event).has_value());
    }
    return content(folder.file("log"));
}

Work exporting() {
    static const bundle::LogSlice log = small_slice();
    Work work{"export", {}, {}, [](const std::string& folder, const Claim& claim) {
                  return write_export(log, folder, claim).has_value();
              }};
    for (const bundle::ExportFile& file : export_all(log)) work.wanted.emplace_back(file.name, file.text);
    return work;
}

Work handing_over() {
    static const std::string log = log_bytes();
    const SiteRow site{"s1", mill_site()};
    const ScratchFolder scratch;
    write_file(scratch.file("log"), log);
    const std::string wanted = text_of(*bundle::sealed_site(*Store::open(scratch.file("log")), "s1", own_key()));
    return {"hand-over", {{"site.bundle", wanted}},
            [](const std::string& folder) { write_file(folder + "/log", log); },
            [site](const std::string& folder, const Claim& claim) {
                Result<Store> store = Store::open(folder + "/log");
                if (!store) return false;
                const std::string file = folder + "/site.bundle";
                const bool done = write_hand_over(*store, site, own_key(), file, Instant{5}).has_value();
                if (done) claim(file);
                return done;
            },
            [](const std::string& folder) {
                Result<Store> store = Store::open(folder + "/log");
                const auto standing = store ? bundle::read_standing(*store) : Result<bundle::Standing>(store.error());
                const auto check = store ? store->check() : Result<LogCheck>(store.error());
                return standing && check && check->broken.empty() && store->events("v1")->size() == small_visit("s1").size() &&
                       (standing->hand_overs.empty() || fs::exists(folder + "/site.bundle"));
            }};
}

Work on_paper() {
    static const Site site = mill_site();
    static const Brief brief = [] {
        const Store store = demo_log();
        const SiteRow row = store.sites()->front();
        const auto source = gather_brief(store, shipped_pack(), shipped_model(), row, {Units::metric, {}, Instant{1}, "keeper"});
        return brief_of(shipped_pack(), shipped_model(), *source);
    }();
    static const std::string file = "brief.pdf";
    return {"paper", {{file, brief_paper(brief, site)->bytes}}, {}, [](const std::string& folder, const Claim& claim) {
                const auto paper = brief_paper(brief, site);
                const std::string path = folder + "/" + file;
                if (!paper || !write_whole(path, bundle::view(paper->bytes))) return false;
                claim(path);
                return true;
            }};
}

/// How to make things fail, and how many there were.
struct Failure {
    std::string name;
    std::function<void(long at, bool keeps)> arm;
    std::function<long()> disarm;
    bool may_end = false; // a process that ends for want of memory is like any other that ends
    long most = 1'000'000;
};

Failure failing_disk(int error) {
    return {error == ENOSPC ? "full disk" : "disk error", [error](long at, bool keeps) { fail_call(at, keeps, error); },
            stop_failing_calls};
}

const Failure failing_new{"memory", fail_new,
                          [] {
                              const long count = news();
                              fail_new(0, false);
                              return count;
                          },
                          true, 60};

struct Ended {
    long asked = 0;
    bool claimed_all = false, boasted = false, threw = false, died = false;
    bool fell = false; // died of anything but std::terminate
};

bool holds_wanted(const std::string& folder, const File& file) { return content(folder + "/" + file.first) == file.second; }

Ended in_own_process(const Work& work, const std::string& folder, const Failure& failure, long at, bool keeps) {
    const std::string told = in_child([&] {
        fclose(stderr);
        bool all = false, threw = false;
        std::vector<std::string> claims;
        claims.reserve(10);
        failure.arm(at, keeps);
        try {
            all = work.act(folder, [&](const std::string& path) { claims.push_back(path); });
        } catch (const std::bad_alloc&) {
            threw = true; // as main() takes it
        }
        const long asked = failure.disarm();
        bool boasted = false;
        for (const File& file : work.wanted) {
            const bool claimed = std::find(claims.begin(), claims.end(), folder + "/" + file.first) != claims.end();
            boasted = boasted || ((claimed || all) && !holds_wanted(folder, file));
        }
        return std::to_string(asked) + (all ? " all" : "") + (threw ? " threw" : "") + (boasted ? " boasted" : "");
    });
    const auto says = [&](const char* word) { return told.find(word) != std::string::npos; };
    return {std::atol(told.c_str()), says(" all"), says(" boasted"), says(" threw"), says("died"),
            says("died") && !says((" of " + std::to_string(SIGABRT)).c_str())};
}

struct Tally {
    long points = 0, refused = 0, ended = 0;
    std::string wrong; // the first thing that must not be
};

long one_point(const Work& work, const Failure& failure, long at, bool keeps, bool over_old, Tally& tally) {
    const ScratchFolder scratch;
    const std::string folder = scratch.path().string();
    if (work.prepare) work.prepare(folder);
    if (over_old) {
        for (const File& file : work.wanted) write_file(folder + "/" + file.first, "an older one");
    }
    const Ended ended = in_own_process(work, folder, failure, at, keeps);
    ++tally.points;
    tally.refused += !ended.claimed_all;
    tally.ended += ended.died;
    const auto wrong = [&](const std::string& what) {
        if (tally.wrong.empty())
            tally.wrong = work.name + ", " + failure.name + " at " + std::to_string(at) + (keeps ? " and on: " : ": ") + what;
    };
    if (ended.fell || (ended.died && !failure.may_end)) wrong("the program ended");
    if (ended.threw && !failure.may_end) wrong("an exception");
    if (ended.boasted) wrong("something is called saved that is not there whole");
    for (const File& file : work.wanted) {
        const std::string path = folder + "/" + file.first;
        const bool old = over_old && content(path) == "an older one";
        if (fs::exists(path) && !old && !holds_wanted(folder, file)) wrong("half a file stands under its name");
        if (fs::exists(path + ".part") && !keeps && !ended.died) wrong("a part is left behind");
        if (over_old && !fs::exists(path)) wrong("an older file is gone");
    }
    if (!work.sound(folder)) wrong("the log is not sound, or notes a hand-over without a file");
    const Ended again = in_own_process(work, folder, failure, 0, false);
    if (!again.claimed_all || again.boasted) wrong("it cannot be done again");
    if (!work.sound(folder)) wrong("the log is not sound afterwards");
    return ended.asked;
}

Tally every_point(const std::vector<Work>& works, const Failure& failure) {
    Tally tally;
    for (const Work& work : works) {
        const long points = one_point(work, failure, 0, false, false, tally);
        if (points < 5 && tally.wrong.empty()) tally.wrong = work.name + ": nothing is asked of what shall fail";
        const long step = std::getenv("BECKHAND_EVERY_ALLOCATION") ? 1 : 1 + points / failure.most;
        for (long at = 1; at <= points; at += step) {
            for (const bool keeps : {false, true}) one_point(work, failure, at, keeps, (at / step) % 2 == 0, tally);
        }
    }
    return tally;
}

std::vector<Work> all_work() { return {exporting(), handing_over(), on_paper()}; }

TEST_CASE("a disk that fails at any one thing leaves no half file and brings no false 'saved' of what is given away") {
    for (const int error : {EIO, ENOSPC}) {
        const Tally tally = every_point(all_work(), failing_disk(error));
        MESSAGE("points ", tally.points, ", refused ", tally.refused);
        CHECK_MESSAGE(tally.wrong.empty(), tally.wrong);
        CHECK(tally.points > 100);
        CHECK(tally.refused > 50);
    }
}

TEST_CASE("the memory failing at any one allocation leaves no half file and brings no false 'saved' either") {
    const Tally tally = every_point(all_work(), failing_new);
    MESSAGE("points ", tally.points, ", refused ", tally.refused, ", ended for want of memory ", tally.ended);
    CHECK_MESSAGE(tally.wrong.empty(), tally.wrong);
    CHECK(tally.points > 300);
    CHECK(tally.refused > 100);
}

TEST_CASE("a disk that is full at any byte of a file: no file, no part, and the older file stays") {
    // The kernel's own limit, so that its short writes are the real ones (setrlimit(2), RLIMIT_FSIZE).
    const ScratchFolder scratch;
    const std::string file = scratch.file("site.bundle");
    const std::string bytes = handing_over().wanted.front().second;
    write_file(file, "an older one");
    const std::string told = in_child([&] {
        std::signal(SIGXFSZ, SIG_IGN);
        long wrong = 0, refused = 0;
        for (std::size_t most = 0; most < bytes.size(); ++most) {
            const rlimit limit{most, RLIM_INFINITY}, none{RLIM_INFINITY, RLIM_INFINITY};
            setrlimit(RLIMIT_FSIZE, &limit);
            const bool saved = write_whole(file, bundle::view(bytes)).has_value();
            setrlimit(RLIMIT_FSIZE, &none);
            refused += !saved;
            wrong += saved || fs::exists(file + ".part") || content(file) != "an older one";
        }
        const bool saved = write_whole(file, bundle::view(bytes)).has_value() && content(file) == bytes;
        return std::to_string(wrong) + " wrong, " + std::to_string(refused) + " refused" + (saved ? ", then saved" : "");
    });
    CHECK(told == "0 wrong, " + std::to_string(bytes.size()) + " refused, then saved");
}

TEST_CASE("the commands that give a file away say what cannot be written, end with 1 and name no file") {
    const Desk desk;
    const Ran filled = desk.run("--data home demo --fill");
    REQUIRE(filled.code == 0);
    const std::string site = shipped_demo().sites.front().site.name;
    const auto blocked = [&](const std::string& words, const std::string& file) {
        fs::create_directories(desk.file(file) + ".part"); // where the part would be made
        const Ran ran = desk.run("--data home " + words);
        CAPTURE(words);
        CHECK(ran.code == 1);
        CHECK(ran.err.find("This file cannot be written.") != std::string::npos);
        CHECK(ran.out.find(file) == std::string::npos);
        CHECK_FALSE(fs::exists(desk.file(file)));
    };
    blocked("export given", "given/visits.csv");
    blocked("hand-over '" + site + "' --to site.bundle", "site.bundle");
    blocked("brief '" + site + "' --pdf brief.pdf", "brief.pdf");
    CHECK(desk.run("--data home hand-over").out.find("Nothing was handed over yet.") != std::string::npos);
}

TEST_CASE("the search finds a writer that leaves half a file, and one that calls everything saved") {
    const std::string bytes(10'000, 'x');
    const Work straight{"straight", {{"file", bytes}}, {}, [&](const std::string& folder, const Claim&) {
                            std::ofstream out(folder + "/file", std::ios::binary);
                            for (int piece = 0; piece < 10; ++piece) out.write(bytes.data(), 1'000).flush();
                            return out.good();
                        }};
    const Work boastful{"boastful", {{"file", bytes}}, {}, [&](const std::string& folder, const Claim& claim) {
                            (void)write_whole(folder + "/file", bundle::view(bytes));
                            claim(folder + "/file");
                            return true;
                        }};
    CHECK(every_point({straight}, failing_disk(EIO)).wrong.find("half a file") != std::string::npos);
    CHECK(every_point({boastful}, failing_disk(EIO)).wrong.find("called saved") != std::string::npos);
}

} // namespace
} // namespace beckhand

// The log in trouble: files that are not ours, damage, places where nothing can be written, a second
// program. Each has its sentence, and nothing that was kept before comes to harm.
#include <doctest/doctest.h>

#include <array>
#include <cstring>

#if defined(__unix__)
#include <csignal>
#include <sys/resource.h>
#include <sys/stat.h>
#endif

#include "tests/engine/store_helpers.h"

namespace beckhand {
namespace {

using namespace tests;

std::string notice_on_opening(const std::string& path) {
    Result<Store> store = Store::open(path);
    if (!store)
        return store.error().sentence();
    const auto notice = store->notice();
    return notice ? notice->sentence() : std::string();
}

// --- files that are not ours to write ---

TEST_CASE("a file that is no database is refused and left as it was") {
    const ScratchFolder folder;
    const std::string path = folder.file("letter.txt");
    const std::string letter(5'000, 'a');
    write_file(path, letter);
    CHECK(says(open_says(path), "not a Beckhand log"));
    CHECK(content(path) == letter);
}

TEST_CASE("another program's database is refused and left as it was") {
    const ScratchFolder folder;
    for (const char* sql : {"CREATE TABLE birds(name)", "PRAGMA application_id=7", "PRAGMA user_version=1",
                            "PRAGMA journal_mode=WAL; CREATE TABLE birds(name)"}) {
        CAPTURE(sql);
        const std::string path = folder.file("birds.db");
        REQUIRE(by_hand(path, sql) == SQLITE_OK);
        const std::string before = content(path);
        CHECK(says(open_says(path), "not a Beckhand log"));
        CHECK(content(path) == before);
        std::filesystem::remove(path);
    }
}

TEST_CASE("a log of a newer version is refused by that name and left as it was") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    CHECK(open_says(path) == "opened");
    for (const char* version : {"3", "10", "2000000000"}) {
        REQUIRE(by_hand(path, std::string("PRAGMA user_version=") + version) == SQLITE_OK);
        const std::string before = content(path);
        CHECK(says(open_says(path), "This log was made by a newer version of Beckhand."));
        CHECK(content(path) == before);
    }
    for (const char* version : {"0", "-3"}) {
        REQUIRE(by_hand(path, std::string("PRAGMA user_version=") + version) == SQLITE_OK);
        CHECK(says(notice_on_opening(path), "The log was damaged."));
    }
}

TEST_CASE("a damaged log is kept aside as it was, and what can be read goes on") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    {
        Result<Store> store = Store::open(path);
        CHECK(sentence(save(*store, "v1", opening())) == "saved");
        for (int n = 2; n < 200; ++n)
            REQUIRE(save(*store, "v1", event(n, Noted{std::string(100, 'x')})).has_value());
    }
    const std::string good = content(path);
    REQUIRE(good.size() > 5 * 4096);
    SUBCASE("pages overwritten") {
        std::string bad = good;
        std::memset(bad.data() + 4096, 0x5a, bad.size() - 4096);
        write_file(path, bad);
        CHECK(says(notice_on_opening(path), "0 entries were read"));
        CHECK(content(path + ".damaged-1") == bad);
        CHECK(notice_on_opening(path).empty()); // said once; the new log is sound
    }
    SUBCASE("cut short") {
        write_file(path, good.substr(0, good.size() / 4 * 3));
        CHECK(says(notice_on_opening(path), "The damaged file is kept as"));
        CHECK(content(path + ".damaged-1") == good.substr(0, good.size() / 4 * 3));
        CHECK(Store::open(path)->entries()->size() > 50);
    }
    SUBCASE("a table missing") {
        REQUIRE(by_hand(path, "DROP TABLE setting") == SQLITE_OK);
        CHECK(says(notice_on_opening(path), "199 entries were read and are here"));
        CHECK(Store::open(path)->events("v1")->size() == 199);
    }
    SUBCASE("an event of a newer program: its visit says so, the others go on") {
        Result<Store> store = Store::open(path);
        REQUIRE(store.has_value());
        LogEntry sung;
        sung.device = std::string(32, 'e');
        sung.number = 1;
        sung.subject = "v1";
        sung.place = 900;
        sung.kind = "sung";
        sung.json = R"({"kind":"sung"})";
        sung.hash = hash_of(sung);
        REQUIRE(store->take_in(std::span(&sung, 1)).has_value());
        REQUIRE_FALSE(store->events("v1").has_value());
        CHECK(says(store->events("v1").error().sentence(), "event 900: This version of Beckhand does not know"));
        CHECK(store->entries("v1")->size() == 200); // and it is passed on
        CHECK(sentence(save(*store, "v2", opening())) == "saved");
    }
}

// --- places where no log can be ---

TEST_CASE("a folder that is not there, a folder instead of a file, a link: each has its sentence") {
    const ScratchFolder folder;
    CHECK(says(open_says(folder.file("missing/log.db")), "The folder for the log is not there."));
    CHECK(says(open_says(folder.path().string()), "This is a folder, not a log."));
    CHECK(says(open_says(folder.path().string() + "/"), "not there"));
    CHECK(says(open_says(""), "not there"));
    const std::string path = folder.file("log.db");
    CHECK(open_says(path) == "opened");
    std::filesystem::create_symlink(path, folder.file("second name"));
    CHECK(says(open_says(folder.file("second name")), "not a link"));
    std::filesystem::create_directory_symlink(folder.path(), folder.file("linked"));
    CHECK(open_says(folder.file("linked") + "/log.db") == "opened"); // the folder is resolved first
}

TEST_CASE("a path that looks like a URI is a file name") {
    const ScratchFolder folder;
    CHECK(open_says(folder.file("file:log.db?mode=memory")) == "opened");
    CHECK(std::filesystem::exists(folder.file("file:log.db?mode=memory")));
}

TEST_CASE("a storage that fails is said to fail") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    std::filesystem::create_directory(path + "-wal"); // SQLite wants to clear it away and cannot
    CHECK(says(open_says(path), "The storage failed"));
}

TEST_CASE("too little memory is said so, and there is no half-made log afterwards") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    sqlite3_hard_heap_limit64(sqlite3_memory_used() + 20'000);
    const std::string told = open_says(path);
    sqlite3_hard_heap_limit64(0);
    CHECK(says(told, "too little memory"));
    CHECK(open_says(path) == "opened");
}

/// While it lives, every new connection of this program passes over the pragma named, as an SQLite built
/// without that feature does.
class PassOver {
public:
    PassOver(const char* pragma, const char* value) {
        name = pragma;
        wanted = value;
        sqlite3_auto_extension(reinterpret_cast<void (*)()>(&install));
    }
    ~PassOver() { sqlite3_cancel_auto_extension(reinterpret_cast<void (*)()>(&install)); }
    PassOver(const PassOver&) = delete;
    PassOver& operator=(const PassOver&) = delete;

private:
    static int judge(void*, int action, const char* pragma, const char* value, const char*, const char*) {
        const bool hit = action == SQLITE_PRAGMA && value && name == pragma && wanted == value;
        return hit ? SQLITE_IGNORE : SQLITE_OK;
    }
    static int install(sqlite3* connection, const char**, const void*) {
        return sqlite3_set_authorizer(connection, &judge, nullptr);
    }
    static inline std::string name, wanted;
};

TEST_CASE("where a write-ahead file is refused, the log keeps a rollback journal and still saves") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    const PassOver no_wal("journal_mode", "WAL");
    {
        Result<Store> store = Store::open(path);
        REQUIRE(store.has_value());
        CHECK(sentence(save(*store, "v1", opening())) == "saved");
        CHECK(sentence(save(*store, "v1", event(2, Closed{}))) == "saved");
        CHECK_FALSE(std::filesystem::exists(path + "-wal"));
        CHECK(std::filesystem::exists(path + "-journal"));
    }
    CHECK(content(path)[18] == 1); // rollback journal, SQLite file format, header offset 18
    CHECK(Store::open(path)->events("v1")->size() == 2);
}

TEST_CASE("an SQLite that will not sync is not trusted with a log") {
    const ScratchFolder folder;
    const PassOver no_sync("synchronous", "EXTRA");
    CHECK(says(open_says(folder.file("log.db")), "could not be set up safely (synchronous stays at"));
}

TEST_CASE("a second copy in this program is told that the log is open") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    Result<Store> first = Store::open(path);
    REQUIRE(first.has_value());
    CHECK(says(open_says(path), "Beckhand is already open with this log."));
    CHECK(sentence(save(*first, "v1", opening())) == "saved");
}

#if defined(__unix__)

TEST_CASE("a second program is told that the log is open, and gets it when the first lets go") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    std::array<int, 2> ready{}, leave{};
    REQUIRE(pipe(ready.data()) == 0);
    REQUIRE(pipe(leave.data()) == 0);
    const pid_t holder = fork();
    if (holder == 0) {
        Result<Store> store = Store::open(path);
        char sign = store ? 'y' : 'n';
        bool heard = write(ready[1], &sign, 1) == 1;
        heard = heard && read(leave[0], &sign, 1) == 1;
        store->commit("v1", opening(), "", {});
        { const Store closed = std::move(*store); }
        _exit(heard ? 0 : 1);
    }
    char sign = 0;
    REQUIRE(read(ready[0], &sign, 1) == 1);
    REQUIRE(sign == 'y');
    CHECK(says(open_says(path), "Beckhand is already open with this log."));
    REQUIRE(write(leave[1], &sign, 1) == 1);
    int status = 0;
    waitpid(holder, &status, 0);
    CHECK(status == 0);
    CHECK(Store::open(path)->events("v1")->size() == 1);
    for (const int end : {ready[0], ready[1], leave[0], leave[1]})
        close(end);
}

TEST_CASE("of two programs started at once on a new log exactly one gets it") {
    // All pairs race at the same time: each loser waits two seconds before it gives up.
    constexpr std::size_t races = 20;
    const ScratchFolder folder;
    std::array<int, 2> go{};
    REQUIRE(pipe(go.data()) == 0);
    std::array<std::array<int, 2>, races> told{};
    std::vector<pid_t> racers;
    for (std::size_t race = 0; race < races; ++race) {
        REQUIRE(pipe(told[race].data()) == 0);
        for (int side = 0; side < 2; ++side) {
            racers.push_back(fork());
            if (racers.back() != 0)
                continue;
            close(go[1]);
            char sign = 0;
            bool fine = read(go[0], &sign, 1) == 0; // all wake when the parent closes its end
            const Result<Store> store = Store::open(folder.file(std::to_string(race)));
            sign = store ? 'w' : says(store.error().sentence(), "already open") ? 'l' : '?';
            fine = fine && write(told[race][1], &sign, 1) == 1;
            pause(); // the winner holds on until it is killed
            _exit(fine ? 0 : 1);
        }
    }
    close(go[0]);
    close(go[1]);
    for (std::size_t race = 0; race < races; ++race) {
        std::string results(2, ' ');
        REQUIRE(read(told[race][0], &results[0], 1) == 1);
        REQUIRE(read(told[race][0], &results[1], 1) == 1);
        CHECK_MESSAGE((results == "wl" || results == "lw"), "race ", race, ": ", results);
    }
    for (const pid_t racer : racers) {
        kill(racer, SIGKILL);
        waitpid(racer, nullptr, 0);
    }
    for (std::size_t race = 0; race < races; ++race) {
        close(told[race][0]);
        close(told[race][1]);
        CHECK(open_says(folder.file(std::to_string(race))) == "opened");
    }
}

/// An administrator may write anywhere, so the child gives its rights away first.
void become_nobody() {
    if (geteuid() == 0 && (setgid(65'534) != 0 || setuid(65'534) != 0))
        _exit(9);
}

TEST_CASE("a write-protected folder or log is called so") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    chmod(folder.path().c_str(), 0755);
    CHECK(open_says(path) == "opened");
    chmod(path.c_str(), 0644);
    const bool administrator = geteuid() == 0;
    if (!administrator) {
        chmod(path.c_str(), 0444);
        chmod(folder.path().c_str(), 0555);
    }
    CHECK(says(tests::in_child([&] { return become_nobody(), open_says(path); }), "write-protected"));
    CHECK(says(tests::in_child([&] { return become_nobody(), open_says(folder.file("new.db")); }),
               "cannot be opened or made here"));
    chmod(folder.path().c_str(), 0755);
}

TEST_CASE("a full storage is called full, keeps what was saved, and saves again when there is room") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    const std::string told = tests::in_child([&] {
        signal(SIGXFSZ, SIG_IGN); // a file at its greatest size then gives an error, as a full disk does
        Result<Store> store = Store::open(path);
        if (!store)
            return store.error().sentence();
        rlimit limit{};
        getrlimit(RLIMIT_FSIZE, &limit);
        const rlim_t most = limit.rlim_max;
        limit.rlim_cur = 600'000;
        setrlimit(RLIMIT_FSIZE, &limit);
        int saved = 0;
        std::string words;
        for (int n = 1; words.empty() && n < 1'000; ++n) {
            store->commit("v1", n == 1 ? opening() : event(n, Noted{std::string(500, 'x')}), "",
                          [&](Outcome o) { o ? void(++saved) : void(words = o.error().sentence()); });
        }
        const Result<std::vector<Event>> kept = store->events("v1");
        words +=
            kept ? " kept " + std::to_string(kept->size() == static_cast<std::size_t>(saved)) : " unreadable";
        limit.rlim_cur = most;
        setrlimit(RLIMIT_FSIZE, &limit);
        store->commit("v1", event(saved + 1, Noted{std::string(500, 'x')}), "",
                      [&](Outcome o) { words += o ? " and again" : o.error().sentence(); });
        return words + " " + std::to_string(saved > 10);
    });
    CAPTURE(told);
    CHECK(says(told, "The storage is full: this could not be saved."));
    CHECK(says(told, " kept 1 and again 1"));
    CHECK(open_says(path) == "opened");
}

#endif

} // namespace
} // namespace beckhand

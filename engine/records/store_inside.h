// What the parts of the store share: the connection, who writes, and the one way in which anything is
// written. Only store*.cpp use this.
#pragma once

#include <new>
#include <optional>
#include <string>
#include <utility>

#include "engine/records/entries.h"
#include "engine/records/log_file.h"
#include "engine/records/reserve.h"
#include "engine/records/store.h"

namespace beckhand {

struct Store::Inside {
    std::string path;
    Random random;
    log_file::Connection connection;
    std::string device;
    std::optional<Problem> notice;
    std::function<void(const std::string&)> closed_call;
    std::function<void(Completion)> keep; // none: what the log has taken is kept
    bool look_thoroughly = false; // something read as damaged: the next opening looks through the whole file

    ~Inside() { checkpoint(); }

    [[nodiscard]] bool in_memory() const { return path == ":memory:"; }
    [[nodiscard]] std::string new_device() const;
    /// Sets an entry's secrets before it is appended.
    void draw_secrets(LogEntry& entry) const {
        log_file::draw_secrets(entry, [this] { return new_device(); });
    }

    // After a failed write the file is opened anew and read again, as the only way to learn what reached
    // the disk. A log in memory has nothing to go back to.
    Outcome ready();

    Problem fail(int code) {
        if (log_file::breaks_connection(code) && !in_memory())
            connection.reset();
        look_thoroughly = look_thoroughly || (code & 0xff) == SQLITE_CORRUPT;
        return log_file::problem_of(code, path);
    }

    /// Answers a save: at once, or when the platform says that it is kept.
    void settle(const Completion& done, Outcome outcome) const {
        if (outcome && keep) {
            keep(done ? done : Completion([](const Outcome&) {}));
        } else if (done) {
            done(std::move(outcome));
        }
    }

    int execute(const char* sql) { return sqlite3_exec(connection.get(), sql, nullptr, nullptr, nullptr); }

    /// Runs `work` as one transaction. It gives an SQLite result, or sets `refused` for what SQLite has
    /// nothing against. When the storage is full the reserve is given back and the work done once more.
    template <class Work>
    Outcome transaction(Work work) {
        int code = SQLITE_OK;
        const Outcome first = once(work, code);
        const bool full = (code & 0xff) == SQLITE_FULL || code == SQLITE_IOERR_WRITE;
        if (first || !full || in_memory() || !log_file::release_reserve(path))
            return first;
        Outcome second = once(work, code);
        if (second) {
            notice = Problem{path,
                             "The storage is full. This was saved in the room that Beckhand keeps in reserve.",
                             "Finish this visit, then free some space (1 MB is enough)."};
        }
        return second;
    }

    // Folding the log's file into the main one is work for a pause, not for between two answers. Nothing
    // is lost when it fails: the next one does it, and a failing disk shows itself at the next save.
    void checkpoint() {
        if (connection) {
            sqlite3_wal_checkpoint_v2(connection.get(), nullptr, SQLITE_CHECKPOINT_TRUNCATE, nullptr,
                                      nullptr);
        }
    }

private:
    template <class Work>
    Outcome once(Work work, int& code) {
        if (const Outcome o = ready(); !o)
            return o;
        std::optional<Problem> refused;
        try {
            code = execute("BEGIN IMMEDIATE");
            if (code == SQLITE_OK)
                code = work(connection.get(), refused);
        } catch (const std::bad_alloc&) {
            code = SQLITE_NOMEM;
        }
        if (code == SQLITE_OK && !refused)
            code = execute("COMMIT");
        if (code == SQLITE_OK && !refused)
            return Done{};
        if (!sqlite3_get_autocommit(connection.get())) {
            if (const int rolled = execute("ROLLBACK"); rolled != SQLITE_OK && (code & 0xff) != SQLITE_FULL)
                fail(rolled);
        }
        if (refused && code == SQLITE_OK)
            return *refused;
        return fail(code);
    }

    Outcome connect_or_rescue();
};

} // namespace beckhand

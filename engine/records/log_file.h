// The SQLite side of the log: one connection set up for keeping every answer, statements that report once
// at their end, and SQLite's error numbers turned into sentences. Only store.cpp uses this.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>

#include <sqlite3.h>

#include "engine/problem.h"

namespace beckhand::log_file {

struct CloseConnection {
    void operator()(sqlite3* connection) const { sqlite3_close_v2(connection); }
};
struct FinishStatement {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};
using Connection = std::unique_ptr<sqlite3, CloseConnection>;

/// A statement with its values. The first error sticks and later calls do nothing, so that the caller
/// asks once, at the end:  Query q(db, "..."); q.bind(1, id); while (q.row()) ...; if (q.failed()) ...
class Query {
public:
    Query(sqlite3* connection, const char* sql);
    Query& bind(int place, const std::string& text);
    Query& bind(int place, std::int64_t number);
    Query& bind_bytes(int place, std::span<const std::uint8_t> bytes);
    /// Steps; true while there is a row. After the last row, or an error, false.
    [[nodiscard]] bool row();
    /// For statements that give no rows. The SQLite result, SQLITE_OK when all went well.
    [[nodiscard]] int run();
    [[nodiscard]] bool failed() const { return code_ != SQLITE_OK; }
    [[nodiscard]] int code() const { return code_; }

    [[nodiscard]] std::string text(int column) const;
    [[nodiscard]] std::int64_t number(int column) const;
    [[nodiscard]] bool is_null(int column) const;

private:
    std::unique_ptr<sqlite3_stmt, FinishStatement> statement_;
    int code_ = SQLITE_OK;
};

/// Why a file was not opened, as far as it decides what can be done about it.
enum class Refused { no, damaged, other };

/// Draws 32 hex digits at random: the id under which a log that is made new, or anew, writes its entries.
using NewDevice = std::function<std::string()>;

/// Opens or creates the log and leaves it locked for this connection alone; a log of schema 1 becomes one of
/// the present schema. Nothing is written to a file that is not a log, is damaged, or was made by a newer
/// program. Waits about 2 s for another program to let go. `thoroughly` looks through the whole file, which
/// for a large log that was closed in order is otherwise left to `beckhand log check`.
[[nodiscard]] Result<Connection> connect(const std::string& path, const NewDevice& device, bool thoroughly,
                                         Refused& why);

/// A connection that holds the file at `path` and promises nothing about its content. SQLite's result.
[[nodiscard]] int seize(const std::string& path, Connection& connection);

/// What an SQLite result means to the person, and what they can do.
[[nodiscard]] Problem problem_of(int code, const std::string& path);

/// After such a result the handle is not trusted any more: pages may be marked clean that never reached
/// the disk (Rebello et al., "Can Applications Recover from fsync Failures?", USENIX ATC 2020).
[[nodiscard]] bool breaks_connection(int code);

} // namespace beckhand::log_file

// The SQLite side of the log: one connection set up for keeping every answer, statements that report once
// at their end, and SQLite's error numbers turned into sentences. Only store.cpp uses this.
#pragma once

#include <cstdint>
#include <memory>
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

/// Opens or creates the log and leaves it locked for this connection alone. Nothing is written to a file
/// that is not a log, is damaged, or was made by a newer program. Waits about 2 s for another program to
/// let go.
[[nodiscard]] Result<Connection> connect(const std::string& path);

/// What an SQLite result means to the person, and what they can do.
[[nodiscard]] Problem problem_of(int code, const std::string& path);

/// After such a result the handle is not trusted any more: pages may be marked clean that never reached
/// the disk (Rebello et al., "Can Applications Recover from fsync Failures?", USENIX ATC 2020).
[[nodiscard]] bool breaks_connection(int code);

} // namespace beckhand::log_file

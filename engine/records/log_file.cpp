// How the log is opened, step by step, and what its failures are called. The settings follow SQLite's own
// pages: "Write-Ahead Logging", "PRAGMA statements", "How To Corrupt An SQLite Database File" and "Defense
// Against The Dark Arts".
#include "engine/records/log_file.h"

#include <filesystem>
#include <system_error>

#include "engine/records/store.h"

namespace beckhand::log_file {
namespace {

constexpr int wait_ms = 2000;
constexpr int pause_ms = 50;

// Only ever appended: the triggers hold whoever opens the file later with another tool to it, too.
constexpr const char* schema_sql = R"sql(
    CREATE TABLE site(
        id TEXT PRIMARY KEY NOT NULL, name TEXT NOT NULL, json TEXT NOT NULL, changed_at_ms INTEGER NOT NULL
    ) STRICT;
    CREATE TABLE visit(
        id TEXT PRIMARY KEY NOT NULL,
        site_id TEXT NOT NULL, site_name TEXT NOT NULL,
        opened_at_ms INTEGER NOT NULL, last_at_ms INTEGER NOT NULL,
        events INTEGER NOT NULL, headline TEXT NOT NULL,
        closed TEXT,                    -- JSON of the closing event that holds, if any
        touched INTEGER NOT NULL        -- rowid of its newest event: the order of saving, without a clock
    ) STRICT;
    CREATE INDEX visit_by_site ON visit(site_id, opened_at_ms);
    CREATE TABLE event(
        visit_id TEXT NOT NULL REFERENCES visit(id), number INTEGER NOT NULL CHECK (number >= 1),
        at_ms INTEGER NOT NULL, by_whom TEXT NOT NULL, kind TEXT NOT NULL, json TEXT NOT NULL,
        PRIMARY KEY(visit_id, number)
    ) STRICT;
    CREATE TRIGGER event_not_changed BEFORE UPDATE ON event
        BEGIN SELECT RAISE(ABORT, 'events are only ever appended'); END;
    CREATE TRIGGER event_not_removed BEFORE DELETE ON event
        BEGIN SELECT RAISE(ABORT, 'events are only ever appended'); END;
    CREATE TABLE setting(key TEXT PRIMARY KEY NOT NULL, value TEXT NOT NULL) STRICT;
)sql";

int execute(sqlite3* connection, const std::string& sql) {
    return sqlite3_exec(connection, sql.c_str(), nullptr, nullptr, nullptr);
}

/// First column of the first row. A pragma that is not understood gives no row and no error.
Result<std::string> ask(sqlite3* connection, const std::string& sql, const std::string& path) {
    Query query(connection, sql.c_str());
    const std::string answer = query.row() ? query.text(0) : std::string();
    if (query.failed())
        return problem_of(query.code(), path);
    return answer;
}

Outcome set_pragma(sqlite3* connection, const std::string& name, const std::string& value,
                   const std::string& wanted, const std::string& path) {
    if (const int code = execute(connection, "PRAGMA " + name + "=" + value); code != SQLITE_OK) {
        return problem_of(code, path);
    }
    const Result<std::string> now = ask(connection, "PRAGMA " + name, path);
    if (!now)
        return now.error();
    if (*now == wanted)
        return Done{};
    return Problem{path, "The log could not be set up safely (" + name + " stays at \"" + *now + "\").",
                   "Keep the log on this device's own storage, not on a card or a network drive."};
}

Outcome configure(sqlite3* connection, int option, int value, const std::string& path) {
    int now = -1;
    const int code = sqlite3_db_config(connection, option, value, &now);
    if (code == SQLITE_OK && now == value)
        return Done{};
    return code == SQLITE_OK
               ? Problem{path, "The log could not be set up safely.", "Say so to whoever gave you Beckhand."}
               : problem_of(code, path);
}

// The folder is resolved here because NOFOLLOW refuses a link anywhere in the path; a log that is itself a
// link is refused, for two names of one log can break it.
Result<std::string> resolved(const std::string& path) {
    const std::filesystem::path given(path);
    std::error_code error;
    const std::filesystem::path folder =
        std::filesystem::canonical(given.has_parent_path() ? given.parent_path() : ".", error);
    if (error || !given.has_filename()) {
        return Problem{path, "The folder for the log is not there.", "Make the folder, or name another one."};
    }
    if (std::filesystem::is_directory(folder / given.filename(), error)) {
        return Problem{path, "This is a folder, not a log.", "Name a file for the log."};
    }
    return (folder / given.filename()).string();
}

/// One try at a connection that holds the file: a raw result, for the caller may try again.
int seize(const std::string& name, bool in_memory, Connection& connection) {
    sqlite3* opened = nullptr;
    const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_EXRESCODE |
                      (in_memory ? 0 : SQLITE_OPEN_NOFOLLOW);
    int code = sqlite3_open_v2(name.c_str(), &opened, flags, nullptr);
    connection.reset(opened);
    if (code != SQLITE_OK)
        return code;
    if (sqlite3_db_readonly(opened, "main") == 1)
        return SQLITE_READONLY;
    // Until the file is known to be a log of ours, closing it must not write to it.
    code = sqlite3_db_config(opened, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
    if (code == SQLITE_OK)
        code = execute(opened, "PRAGMA locking_mode=EXCLUSIVE");
    // No waiting inside SQLite: two programs started at once would each hold what the other waits for.
    // The one that is refused closes its file before it tries again.
    if (code == SQLITE_OK)
        code = execute(opened, "BEGIN IMMEDIATE");
    return code;
}

enum class Kind { fresh, ours };

Result<Kind> identify(sqlite3* connection, const std::string& path) {
    const Result<std::string> id = ask(connection, "PRAGMA application_id", path);
    if (!id)
        return id.error();
    const Result<std::string> version = ask(connection, "PRAGMA user_version", path);
    if (!version)
        return version.error();
    const Result<std::string> things = ask(connection, "SELECT count(*) FROM sqlite_schema", path);
    if (!things)
        return things.error();
    if (*id == "0" && *version == "0" && *things == "0")
        return Kind::fresh;
    if (*id != std::to_string(log_application_id)) {
        return Problem{path, "This file is not a Beckhand log.",
                       "Choose another file; this one was left as it is."};
    }
    if (*version == std::to_string(log_schema))
        return Kind::ours;
    // Shorter or longer text first, then digits: a number comparison without a parse that could fail.
    const std::string known = std::to_string(log_schema);
    const bool newer =
        version->size() > known.size() || (version->size() == known.size() && *version > known);
    if (newer && version->front() != '-') {
        return Problem{path, "This log was made by a newer version of Beckhand.",
                       "Open it with that version; this one has left it as it is."};
    }
    return problem_of(SQLITE_CORRUPT, path);
}

Outcome check_sound(sqlite3* connection, const std::string& path) {
    const Result<std::string> tables = ask(connection,
                                           "SELECT count(*) FROM sqlite_schema WHERE type='table' AND name "
                                           "IN ('site','visit','event','setting')",
                                           path);
    if (!tables)
        return tables.error();
    const Result<std::string> sound = ask(connection, "PRAGMA quick_check(1)", path);
    if (!sound)
        return sound.error();
    if (*tables == "4" && *sound == "ok")
        return Done{};
    return problem_of(SQLITE_CORRUPT, path);
}

Outcome set_up(sqlite3* connection, bool in_memory, const std::string& path) {
    // EXTRA syncs the folder too when the rollback journal goes that the change to WAL needs.
    if (const Outcome o = set_pragma(connection, "synchronous", "EXTRA", "3", path); !o)
        return o;
    if (!in_memory) {
        // A log held by one connection needs no shared memory, so only an SQLite built without WAL refuses.
        const Result<std::string> wal = ask(connection, "PRAGMA journal_mode=WAL", path);
        if (!wal || *wal != "wal") {
            const Result<std::string> rollback = ask(connection, "PRAGMA journal_mode=TRUNCATE", path);
            if (!rollback)
                return rollback.error();
            if (*rollback != "truncate")
                return wal ? problem_of(SQLITE_CANTOPEN, path) : wal.error();
        }
    }
    struct Setting {
        const char *name, *value, *wanted;
    };
    for (const Setting& s : {Setting{"synchronous", "FULL", "2"}, Setting{"foreign_keys", "ON", "1"},
                             Setting{"trusted_schema", "OFF", "0"}, Setting{"cell_size_check", "ON", "1"},
                             Setting{"secure_delete", "ON", "1"}, Setting{"temp_store", "MEMORY", "2"}}) {
        if (const Outcome o = set_pragma(connection, s.name, s.value, s.wanted, path); !o)
            return o;
    }
    // Gives no row for a log in memory, which has nothing to map.
    if (const int code = execute(connection, "PRAGMA mmap_size=0"); code != SQLITE_OK)
        return problem_of(code, path);
    for (const int option : {SQLITE_DBCONFIG_DQS_DML, SQLITE_DBCONFIG_DQS_DDL, SQLITE_DBCONFIG_ENABLE_VIEW,
                             SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION}) {
        if (const Outcome o = configure(connection, option, 0, path); !o)
            return o;
    }
    return configure(connection, SQLITE_DBCONFIG_DEFENSIVE, 1, path);
}

Outcome create_schema(sqlite3* connection, const std::string& path) {
    int code = execute(connection, "BEGIN IMMEDIATE");
    if (code == SQLITE_OK)
        code = execute(connection, schema_sql);
    if (code == SQLITE_OK) {
        code = execute(connection, "PRAGMA application_id=" + std::to_string(log_application_id) +
                                       ";PRAGMA user_version=" + std::to_string(log_schema) + ";COMMIT");
    }
    return code == SQLITE_OK ? Outcome(Done{}) : Outcome(problem_of(code, path));
}

} // namespace

Query::Query(sqlite3* connection, const char* sql) {
    sqlite3_stmt* prepared = nullptr;
    code_ = sqlite3_prepare_v2(connection, sql, -1, &prepared, nullptr);
    statement_.reset(prepared);
}

Query& Query::bind(int place, const std::string& text) {
    if (code_ == SQLITE_OK) {
        code_ = sqlite3_bind_text64(statement_.get(), place, text.data(), text.size(), SQLITE_TRANSIENT,
                                    SQLITE_UTF8);
    }
    return *this;
}

Query& Query::bind(int place, std::int64_t number) {
    if (code_ == SQLITE_OK)
        code_ = sqlite3_bind_int64(statement_.get(), place, number);
    return *this;
}

bool Query::row() {
    if (code_ != SQLITE_OK)
        return false;
    const int stepped = sqlite3_step(statement_.get());
    if (stepped != SQLITE_ROW && stepped != SQLITE_DONE)
        code_ = stepped;
    return stepped == SQLITE_ROW;
}

int Query::run() {
    while (row()) {}
    return code_;
}

std::string Query::text(int column) const {
    const void* const bytes = sqlite3_column_blob(statement_.get(), column);
    const int size = sqlite3_column_bytes(statement_.get(), column);
    return bytes && size > 0 ? std::string(static_cast<const char*>(bytes), static_cast<std::size_t>(size))
                             : std::string();
}

std::int64_t Query::number(int column) const {
    return sqlite3_column_int64(statement_.get(), column);
}

bool Query::is_null(int column) const {
    return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL;
}

Result<Connection> connect(const std::string& path) {
    const bool in_memory = path == ":memory:";
    const Result<std::string> name = in_memory ? Result<std::string>(path) : resolved(path);
    if (!name)
        return name.error();

    Connection connection;
    for (int waited = 0;; waited += pause_ms) {
        const int code = seize(*name, in_memory, connection);
        if (code == SQLITE_OK)
            break;
        connection.reset();
        if ((code & 0xff) != SQLITE_BUSY || waited >= wait_ms)
            return problem_of(code, path);
        sqlite3_sleep(pause_ms);
    }
    const Result<Kind> kind = identify(connection.get(), path);
    if (!kind)
        return kind.error();
    if (*kind == Kind::ours) {
        if (const Outcome sound = check_sound(connection.get(), path); !sound)
            return sound.error();
    }
    if (const int code = execute(connection.get(), "ROLLBACK"); code != SQLITE_OK)
        return problem_of(code, path);
    if (const int code = sqlite3_busy_timeout(connection.get(), wait_ms); code != SQLITE_OK) {
        return problem_of(code, path);
    }
    if (const Outcome set = set_up(connection.get(), in_memory, path); !set)
        return set.error();
    if (*kind == Kind::fresh) {
        if (const Outcome created = create_schema(connection.get(), path); !created)
            return created.error();
    }
    if (const Outcome o = configure(connection.get(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 0, path); !o) {
        return o.error();
    }
    return connection;
}

bool breaks_connection(int code) {
    const int primary = code & 0xff;
    return primary == SQLITE_IOERR || primary == SQLITE_CORRUPT || primary == SQLITE_NOTADB;
}

Problem problem_of(int code, const std::string& path) {
    // A file that has reached its greatest size says "write error", not "full" (measured, SQLite 3.40).
    if (code == SQLITE_IOERR_WRITE)
        code = SQLITE_FULL;
    switch (code & 0xff) {
    case SQLITE_FULL:
        return {path, "The storage is full: this could not be saved.",
                "Free some space (1 MB is enough) and do it again; what was saved before is safe."};
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return {path, "Beckhand is already open with this log.",
                "Go on in the other window, or close it and start again."};
    case SQLITE_READONLY:
    case SQLITE_PERM:
        return {path, "The log is write-protected: nothing can be saved.",
                "Lift the protection, or start Beckhand with a folder that it may write to."};
    case SQLITE_CANTOPEN:
        return {path, "The log cannot be opened or made here.",
                "Check that the folder may be written to and that the log is a plain file, not a link."};
    case SQLITE_NOTADB:
        return {path, "This file is not a Beckhand log.", "Choose another file; this one was left as it is."};
    case SQLITE_CORRUPT:
        return {path, "This log is damaged.",
                "Move the file away and keep it (with the one beside it that ends in -wal, if there is one); "
                "Beckhand then starts a new log."};
    case SQLITE_IOERR:
        return {path, "The storage failed while the log was in use: this may not be saved.",
                "Check that the card or disk is in place, then do it again."};
    case SQLITE_NOMEM:
        return {path, "The device has too little memory left: this could not be saved.",
                "Close other programs and do it again."};
    case SQLITE_TOOBIG:
        return {path, "This text is too long to be saved.", "Shorten it."};
    default:
        return {path,
                std::string("The log refused this (") + sqlite3_errstr(code) + ", " + std::to_string(code) +
                    ").",
                "Close Beckhand and start it again; if it stays, keep the log file and ask for help."};
    }
}

} // namespace beckhand::log_file

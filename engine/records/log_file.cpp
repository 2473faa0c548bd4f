// How the log is opened, step by step, and what its failures are called. The settings follow SQLite's own
// pages: "Write-Ahead Logging", "PRAGMA statements", "How To Corrupt An SQLite Database File" and "Defense
// Against The Dark Arts".
#include "engine/records/log_file.h"

#include <cstdlib>
#include <filesystem>
#include <system_error>

#include "engine/records/schema.h"
#include "engine/records/store.h"

namespace beckhand::log_file {
namespace {

constexpr int wait_ms = 2000;
constexpr int pause_ms = 50;
// Looking through more than this takes longer than a person waits for a program to start.
constexpr std::uintmax_t quickly_checked_bytes = 8 * 1024 * 1024;

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

enum class Kind { fresh, ours, schema_1 };

Problem damaged(const std::string& path, Refused& why) {
    why = Refused::damaged;
    return problem_of(SQLITE_CORRUPT, path);
}

Result<Kind> identify(sqlite3* connection, const std::string& path, Refused& why) {
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
    if (*version == "1")
        return Kind::schema_1;
    // Shorter or longer text first, then digits: a number comparison without a parse that could fail.
    const std::string known = std::to_string(log_schema);
    const bool newer =
        version->size() > known.size() || (version->size() == known.size() && *version > known);
    if (newer && version->front() != '-') {
        return Problem{path, "This log was made by a newer version of Beckhand.",
                       "Open it with that version; this one has left it as it is."};
    }
    return damaged(path, why);
}

// A page that the storage would not give is no damage: the same file may be whole at the next try.
Problem unsound(const std::string& told, const std::string& path, Refused& why) {
    const std::string mark = "error code=";
    const std::size_t at = told.find(mark);
    const int code = at == std::string::npos ? SQLITE_CORRUPT : std::atoi(told.c_str() + at + mark.size());
    return (code & 0xff) == SQLITE_CORRUPT ? damaged(path, why) : problem_of(code, path);
}

Outcome check_sound(sqlite3* connection, Kind kind, bool whole, const std::string& path, Refused& why) {
    const bool present = kind == Kind::ours;
    const Result<std::string> tables =
        ask(connection,
            std::string("SELECT count(*) FROM sqlite_schema WHERE type='table' AND name IN ") +
                (present ? "('entry','own','setting','site','visit','stream')"
                         : "('site','visit','event','setting')"),
            path);
    if (!tables)
        return tables.error();
    if (*tables != (present ? "6" : "4"))
        return damaged(path, why);
    if (!whole)
        return Done{};
    const Result<std::string> sound = ask(connection, "PRAGMA quick_check(1)", path);
    if (!sound)
        return sound.error();
    return *sound == "ok" ? Outcome(Done{}) : Outcome(unsound(*sound, path, why));
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

/// SQLite finds some damage only while it reads.
Problem judged(sqlite3* connection, Problem problem, Refused& why) {
    if ((sqlite3_errcode(connection) & 0xff) == SQLITE_CORRUPT)
        why = Refused::damaged;
    return problem;
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

Query& Query::bind_bytes(int place, std::span<const std::uint8_t> bytes) {
    if (code_ == SQLITE_OK)
        code_ = sqlite3_bind_blob64(statement_.get(), place, bytes.data(), bytes.size(), SQLITE_TRANSIENT);
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

int seize(const std::string& name, Connection& connection) {
    sqlite3* opened = nullptr;
    const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_EXRESCODE |
                      (name == ":memory:" ? 0 : SQLITE_OPEN_NOFOLLOW);
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

Result<Connection> connect(const std::string& path, const NewDevice& device, bool thoroughly, Refused& why) {
    why = Refused::other;
    const bool in_memory = path == ":memory:";
    const Result<std::string> name = in_memory ? Result<std::string>(path) : resolved(path);
    if (!name)
        return name.error();
    std::error_code none;
    const std::uintmax_t unfolded = std::filesystem::file_size(*name + "-wal", none);
    const bool killed = !none && unfolded > 0;
    const std::uintmax_t bytes = std::filesystem::file_size(*name, none);
    const bool whole = thoroughly || killed || none || bytes <= quickly_checked_bytes;

    Connection connection;
    for (int waited = 0;; waited += pause_ms) {
        const int code = seize(*name, connection);
        if (code == SQLITE_OK)
            break;
        connection.reset();
        if ((code & 0xff) == SQLITE_CORRUPT)
            return damaged(path, why);
        if ((code & 0xff) != SQLITE_BUSY || waited >= wait_ms)
            return problem_of(code, path);
        sqlite3_sleep(pause_ms);
    }
    const Result<Kind> kind = identify(connection.get(), path, why);
    if (!kind)
        return judged(connection.get(), kind.error(), why);
    if (*kind != Kind::fresh) {
        if (const Outcome sound = check_sound(connection.get(), *kind, whole, path, why); !sound)
            return judged(connection.get(), sound.error(), why);
    }
    if (const int code = execute(connection.get(), "ROLLBACK"); code != SQLITE_OK)
        return problem_of(code, path);
    if (const int code = sqlite3_busy_timeout(connection.get(), wait_ms); code != SQLITE_OK)
        return problem_of(code, path);
    if (const Outcome set = set_up(connection.get(), in_memory, path); !set)
        return set.error();
    if (*kind != Kind::ours) {
        const Outcome made = *kind == Kind::fresh ? create_schema(connection.get(), device(), path)
                                                  : migrate_schema_1(connection.get(), device, path);
        if (!made)
            return judged(connection.get(), made.error(), why);
    }
    if (*kind == Kind::ours) {
        if (const Outcome wide = widen_erasing(connection.get(), path); !wide)
            return judged(connection.get(), wide.error(), why);
    }
    if (const Outcome o = configure(connection.get(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 0, path); !o)
        return o.error();
    why = Refused::no;
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
                "Close Beckhand and start it again: it then goes on with what can be read, and keeps the damaged "
                "file."};
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

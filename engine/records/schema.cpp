// The schema, and the way from schema 1, which kept events without a chain and sites without a history.
#include "engine/records/schema.h"

#include "engine/records/entries.h"
#include "engine/records/log_file.h"
#include "engine/records/store.h"

namespace beckhand::log_file {
namespace {

// Only ever appended: the triggers hold whoever opens the file later with another tool to it, too. Tables
// below the line are computed from the entries; `sum` tells when one of their rows is not what was written.
constexpr const char* schema_sql = R"sql(
    CREATE TABLE entry(
        device TEXT NOT NULL, number INTEGER NOT NULL CHECK (number >= 1),
        subject TEXT NOT NULL, place INTEGER NOT NULL CHECK (place >= 1),
        at_ms INTEGER NOT NULL, kind TEXT NOT NULL, headline TEXT NOT NULL, after BLOB NOT NULL,
        by_whom TEXT NOT NULL, by_secret BLOB NOT NULL, by_erased BLOB,
        json TEXT NOT NULL, json_secret BLOB NOT NULL, json_erased BLOB,
        prev BLOB NOT NULL, hash BLOB NOT NULL,
        PRIMARY KEY(device, number, hash)   -- of one number there are two when a device was copied
    ) STRICT;
    CREATE INDEX entry_by_subject ON entry(subject, place);
    CREATE INDEX wish ON entry(kind) WHERE kind='erase_wish';
    CREATE TRIGGER entry_not_changed BEFORE UPDATE OF
        device, number, subject, place, at_ms, kind, headline, after, prev, hash ON entry
        BEGIN SELECT RAISE(ABORT, 'entries are only ever appended'); END;
    CREATE TRIGGER name_only_erased BEFORE UPDATE OF by_whom, by_secret, by_erased ON entry
        WHEN old.by_erased IS NOT NULL OR new.by_erased IS NULL OR new.by_whom<>'' OR new.by_secret<>x''
        BEGIN SELECT RAISE(ABORT, 'a name can only be erased'); END;
    CREATE TRIGGER entry_not_removed BEFORE DELETE ON entry
        BEGIN SELECT RAISE(ABORT, 'entries are only ever appended'); END;
    CREATE TABLE own(rank INTEGER PRIMARY KEY NOT NULL, device TEXT NOT NULL UNIQUE) STRICT;
    CREATE TABLE setting(key TEXT PRIMARY KEY NOT NULL, value TEXT NOT NULL) STRICT;
    -------
    CREATE TABLE site(
        id TEXT PRIMARY KEY NOT NULL, name TEXT NOT NULL,
        json TEXT NOT NULL,             -- all sheets of it together
        differences TEXT NOT NULL,      -- fields of which more than one value holds
        sum BLOB NOT NULL
    ) STRICT;
    CREATE TABLE visit(                 -- a row for each branch
        id TEXT PRIMARY KEY NOT NULL, subject TEXT NOT NULL, site_id TEXT NOT NULL, site_name TEXT NOT NULL,
        opened_at_ms INTEGER NOT NULL, last_at_ms INTEGER NOT NULL, events INTEGER NOT NULL,
        headline TEXT NOT NULL,
        branches INTEGER NOT NULL,      -- of the visit
        closed INTEGER NOT NULL,        -- 0: open, else 1 + Closing
        touched INTEGER NOT NULL,       -- its newest own entry, 0 for none: the order of saving
        order_ms INTEGER NOT NULL, order_number INTEGER NOT NULL,  -- of lists: a clock set back does not move them
        doubtful INTEGER NOT NULL,      -- 1 when the clock was wrong or set back
        sum BLOB NOT NULL
    ) STRICT;
    CREATE INDEX visit_by_site ON visit(site_id);
    CREATE INDEX visit_by_subject ON visit(subject);
    CREATE INDEX visit_open ON visit(touched) WHERE closed=0;
    CREATE TABLE stream(device TEXT PRIMARY KEY NOT NULL, latest_ms INTEGER NOT NULL) STRICT;
)sql";

// The kinds are those of names_people. Logs made before sheets and parts could be erased have a narrower one.
constexpr const char* words_trigger_sql = R"sql(
    CREATE TRIGGER words_only_erased BEFORE UPDATE OF json, json_secret, json_erased ON entry
        WHEN old.kind NOT IN ('noted','offered','received','part_used','site_sheet') OR old.json_erased IS NOT NULL
            OR new.json_erased IS NULL OR new.json<>'' OR new.json_secret<>x''
        BEGIN SELECT RAISE(ABORT, 'what names a person can only be erased'); END;
)sql";

int execute(sqlite3* connection, const std::string& sql) {
    return sqlite3_exec(connection, sql.c_str(), nullptr, nullptr, nullptr);
}

std::string marks() {
    return "PRAGMA application_id=" + std::to_string(log_application_id) +
           ";PRAGMA user_version=" + std::to_string(log_schema);
}

int make_tables(sqlite3* connection, const std::string& device) {
    int code = execute(connection, schema_sql);
    if (code == SQLITE_OK)
        code = execute(connection, words_trigger_sql);
    if (code == SQLITE_OK)
        code = begin_stream(connection, device);
    return code;
}

/// Every row of `rows` becomes the next entry.
int copy_rows(sqlite3* connection, const std::string& rows, const NewDevice& random, Schema1Stream& stream) {
    Query query(connection, rows.c_str());
    while (query.row()) {
        if (const int code = add_entry(connection, next_of_schema_1(stream, query, 0, random)); code != SQLITE_OK)
            return code;
    }
    return query.code();
}

int from_schema_1(sqlite3* connection, const std::string& device, const NewDevice& random) {
    int code = execute(connection, "DROP TRIGGER event_not_changed; DROP TRIGGER event_not_removed;"
                                   "DROP INDEX visit_by_site;"
                                   "ALTER TABLE site RENAME TO site_1; ALTER TABLE visit RENAME TO visit_1;"
                                   "ALTER TABLE event RENAME TO event_1;"
                                   "ALTER TABLE setting RENAME TO setting_1");
    if (code == SQLITE_OK)
        code = make_tables(connection, device);
    Schema1Stream stream{device};
    if (code == SQLITE_OK) {
        code = copy_rows(connection, std::string("SELECT ") + schema_1_sheet + " FROM site_1 ORDER BY rowid", random,
                         stream);
    }
    // Only the last headline of each visit was kept; it goes to the visit's last event.
    if (code == SQLITE_OK) {
        code = copy_rows(connection,
                         "SELECT e.visit_id, e.number, e.at_ms, e.by_whom, e.kind, CASE WHEN e.number="
                         "(SELECT max(l.number) FROM event_1 l WHERE l.visit_id=e.visit_id) "
                         "THEN coalesce(v.headline, '') ELSE '' END, e.json "
                         "FROM event_1 e LEFT JOIN visit_1 v ON v.id=e.visit_id ORDER BY e.rowid",
                         random, stream);
    }
    if (code == SQLITE_OK)
        code = execute(connection, "INSERT INTO setting SELECT key, value FROM setting_1");
    if (code != SQLITE_OK)
        return code;
    Query counts(connection, "SELECT (SELECT count(*) FROM entry) = "
                             "(SELECT count(*) FROM site_1) + (SELECT count(*) FROM event_1)");
    const bool all = counts.row() && counts.number(0) == 1;
    if (counts.failed() || !all)
        return counts.failed() ? counts.code() : SQLITE_CORRUPT;
    if (code = rebuild(connection); code != SQLITE_OK)
        return code;
    return SQLITE_OK;
}

template <class Work>
Outcome in_one_transaction(sqlite3* connection, const std::string& path, Work work) {
    int code = execute(connection, "BEGIN IMMEDIATE");
    if (code == SQLITE_OK)
        code = work();
    if (code == SQLITE_OK)
        code = execute(connection, marks());
    if (code == SQLITE_OK)
        code = execute(connection, "COMMIT");
    if (code == SQLITE_OK)
        return Done{};
    if (!sqlite3_get_autocommit(connection))
        execute(connection, "ROLLBACK");
    return problem_of(code, path);
}

} // namespace

int begin_stream(sqlite3* connection, const std::string& device) {
    Query query(connection, "INSERT INTO own(device) VALUES(?1)");
    return query.bind(1, device).run();
}

LogEntry next_of_schema_1(Schema1Stream& stream, const Query& row, int first, const NewDevice& random) {
    LogEntry entry;
    entry.device = stream.device;
    entry.number = ++stream.number;
    entry.subject = row.text(first);
    entry.place = row.number(first + 1);
    entry.at.ms = row.number(first + 2);
    entry.by = row.text(first + 3);
    entry.kind = row.text(first + 4);
    entry.headline = row.text(first + 5);
    entry.json = row.text(first + 6);
    draw_secrets(entry, random);
    if (const auto before = stream.before.find(entry.subject); before != stream.before.end())
        entry.after = {before->second};
    entry.prev = stream.last;
    entry.hash = stream.last = stream.before[entry.subject] = hash_of(entry);
    return entry;
}

Outcome create_schema(sqlite3* connection, const std::string& device, const std::string& path) {
    return in_one_transaction(connection, path, [&] { return make_tables(connection, device); });
}

Outcome widen_erasing(sqlite3* connection, const std::string& path) {
    Query narrow(connection, "SELECT 1 FROM sqlite_schema WHERE name='words_only_erased' AND sql NOT LIKE '%site_sheet%'");
    const bool found = narrow.row();
    if (narrow.failed())
        return problem_of(narrow.code(), path);
    if (!found)
        return Done{};
    while (narrow.row()) continue; // let go of the schema before it changes
    return in_one_transaction(connection, path, [&] {
        return execute(connection, std::string("DROP TRIGGER words_only_erased;") + words_trigger_sql);
    });
}

Outcome migrate_schema_1(sqlite3* connection, const NewDevice& random, const std::string& path) {
    return in_one_transaction(connection, path, [&] {
        // The copying statements hold the old tables open; the tables go once they are done.
        int code = from_schema_1(connection, random(), random);
        if (code == SQLITE_OK) {
            code = execute(connection, "DROP TABLE event_1; DROP TABLE visit_1; DROP TABLE site_1;"
                                       "DROP TABLE setting_1");
        }
        return code;
    });
}

} // namespace beckhand::log_file

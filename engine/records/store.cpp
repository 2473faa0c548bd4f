// What is written when something is saved, and how it is read back. Every save is one transaction of its
// own; the rows that lists show are written in the same one as the event they follow from.
#include "engine/records/store.h"

#include <utility>

#include "engine/records/event_json.h"
#include "engine/records/log_file.h"

namespace beckhand {

using log_file::breaks_connection;
using log_file::problem_of;
using log_file::Query;

struct Store::Inside {
    std::string path;
    log_file::Connection connection;

    // After a failed write the file is opened anew and read again, as the only way to learn what reached
    // the disk. A log in memory has nothing to go back to.
    Outcome ready() {
        if (connection)
            return Done{};
        Result<log_file::Connection> again = log_file::connect(path);
        if (!again)
            return again.error();
        connection = std::move(*again);
        return Done{};
    }

    Problem fail(int code) {
        if (breaks_connection(code) && path != ":memory:")
            connection.reset();
        return problem_of(code, path);
    }

    int execute(const char* sql) { return sqlite3_exec(connection.get(), sql, nullptr, nullptr, nullptr); }

    // `work` gives an SQLite result, or sets `refused` for what SQLite has nothing against.
    template <class Work>
    Outcome transaction(Work work) {
        if (const Outcome o = ready(); !o)
            return o;
        std::optional<Problem> refused;
        int code = execute("BEGIN IMMEDIATE");
        if (code == SQLITE_OK)
            code = work(connection.get(), refused);
        if (code == SQLITE_OK && !refused)
            code = execute("COMMIT");
        if (code == SQLITE_OK && !refused)
            return Done{};
        if (!sqlite3_get_autocommit(connection.get())) {
            if (const int rolled = execute("ROLLBACK"); rolled != SQLITE_OK)
                fail(rolled);
        }
        if (refused && code == SQLITE_OK)
            return *refused;
        return fail(code);
    }

    // Folding the log's file into the main one is work for a pause, not for between two answers. Nothing
    // is lost when it fails: the next one does it, and a failing disk shows itself at the next save.
    void checkpoint() {
        if (connection) {
            sqlite3_wal_checkpoint_v2(connection.get(), nullptr, SQLITE_CHECKPOINT_TRUNCATE, nullptr,
                                      nullptr);
        }
    }

    ~Inside() { checkpoint(); }
};

namespace {

Problem not_text(const std::string& where) {
    return {where, "Some text here is not valid UTF-8.", "Type it again; do not paste it."};
}

Result<Event> event_of(const Query& row, const std::string& path) {
    Result<Happening> what = happening_from_json(row.text(3));
    const std::int64_t number = row.number(0);
    if (!what) {
        Problem problem = what.error();
        problem.where = path + ", event " + std::to_string(number);
        return problem;
    }
    Event event;
    event.number = static_cast<int>(number);
    event.at.ms = row.number(1);
    event.by = row.text(2);
    event.what = std::move(*what);
    return event;
}

constexpr const char* events_sql =
    "SELECT number, at_ms, by_whom, json FROM event WHERE visit_id=?1 ORDER BY number";

/// Whether the visit is closed is the fold's to say: a closing may have been taken back.
int update_closed(sqlite3* connection, const std::string& path, const std::string& visit_id,
                  std::optional<Problem>& refused) {
    std::vector<Event> events;
    Query rows(connection, events_sql);
    rows.bind(1, visit_id);
    while (rows.row()) {
        Result<Event> event = event_of(rows, path);
        if (!event) {
            refused = event.error();
            return SQLITE_OK;
        }
        events.push_back(std::move(*event));
    }
    if (rows.failed())
        return rows.code();
    const std::optional<Closing> closed = fold(events).closed;
    Query update(connection, closed ? "UPDATE visit SET closed=?2 WHERE id=?1"
                                    : "UPDATE visit SET closed=NULL WHERE id=?1");
    update.bind(1, visit_id);
    if (closed)
        update.bind(2, to_json(Happening(Closed{*closed})));
    return update.run();
}

int open_row(sqlite3* connection, const std::string& visit_id, const Event& event, const Opened& opened) {
    Query query(connection,
                "INSERT INTO visit VALUES(?1,?2,?3,?4,?4,0,'',NULL,0) ON CONFLICT(id) DO NOTHING");
    query.bind(1, visit_id).bind(2, opened.site_id).bind(3, opened.site.name).bind(4, event.at.ms);
    return query.run();
}

/// Taken number: nothing to do when it holds the very same event.
int compare_with_kept(sqlite3* connection, const std::string& visit_id, const Event& event,
                      const std::string& json, const std::string& path, std::optional<Problem>& refused) {
    Query kept(connection, "SELECT at_ms, by_whom, json FROM event WHERE visit_id=?1 AND number=?2");
    kept.bind(1, visit_id).bind(2, std::int64_t{event.number});
    const bool same =
        kept.row() && kept.number(0) == event.at.ms && kept.text(1) == event.by && kept.text(2) == json;
    if (!kept.failed() && !same) {
        refused = Problem{path,
                          "Another answer is already saved in this place of the visit (event " +
                              std::to_string(event.number) + ").",
                          "Close the visit and open it again from the log; nothing was overwritten."};
    }
    return kept.code();
}

int append(sqlite3* connection, const std::string& visit_id, const Event& event, const std::string& json,
           const std::string& kind, const std::string& headline, const std::string& path,
           std::optional<Problem>& refused) {
    Query insert(connection,
                 "INSERT INTO event VALUES(?1,?2,?3,?4,?5,?6) ON CONFLICT(visit_id, number) DO NOTHING");
    insert.bind(1, visit_id).bind(2, std::int64_t{event.number}).bind(3, event.at.ms).bind(4, event.by);
    insert.bind(5, kind).bind(6, json);
    const int inserted = insert.run();
    if (inserted == SQLITE_CONSTRAINT_FOREIGNKEY) {
        refused = Problem{path, "This visit was never opened, so nothing can be added to it.",
                          "Start a new visit."};
        return SQLITE_OK;
    }
    if (inserted != SQLITE_OK)
        return inserted;
    if (sqlite3_changes(connection) == 0)
        return compare_with_kept(connection, visit_id, event, json, path, refused);

    Query update(connection,
                 "UPDATE visit SET last_at_ms=?2, headline=?3, events=events+1, touched=?4 WHERE id=?1");
    update.bind(1, visit_id)
        .bind(2, event.at.ms)
        .bind(3, headline)
        .bind(4, sqlite3_last_insert_rowid(connection));
    if (const int updated = update.run(); updated != SQLITE_OK)
        return updated;
    const bool may_close =
        std::holds_alternative<Closed>(event.what) || std::holds_alternative<TookBack>(event.what);
    return may_close ? update_closed(connection, path, visit_id, refused) : SQLITE_OK;
}

void answer(const Store::Completion& done, Outcome outcome) {
    if (done)
        done(std::move(outcome));
}

} // namespace

Store::Store(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;
Store::~Store() = default;

Result<Store> Store::open(const std::string& path) {
    auto inside = std::make_unique<Inside>();
    inside->path = path;
    if (const Outcome o = inside->ready(); !o)
        return o.error();
    return Store(std::move(inside));
}

void Store::save_site(const SiteRow& site, Instant at, const Completion& done) {
    const Result<std::string> json = kept_json(site.site);
    if (!json)
        return answer(done, json.error());
    if (site.id.empty() || !is_utf8(site.id))
        return answer(done, not_text("site id"));
    answer(done, inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        Query query(connection,
                    "INSERT INTO site VALUES(?1,?2,?3,?4) ON CONFLICT(id) DO UPDATE SET "
                    "name=excluded.name, json=excluded.json, changed_at_ms=excluded.changed_at_ms");
        query.bind(1, site.id).bind(2, site.site.name).bind(3, *json).bind(4, at.ms);
        return query.run();
    }));
}

void Store::commit(const std::string& visit_id, const Event& event, const std::string& headline,
                   const Completion& done) {
    const Result<std::string> json = kept_json(event.what);
    if (!json)
        return answer(done, json.error());
    if (visit_id.empty() || !is_utf8(visit_id))
        return answer(done, not_text("visit id"));
    if (!is_utf8(event.by))
        return answer(done, not_text("name of the person"));
    if (!is_utf8(headline))
        return answer(done, not_text("headline"));
    if (event.number < 1)
        return answer(done, Problem{"visit", "Events are numbered from 1.", ""});

    const Outcome saved = inside_->transaction([&](sqlite3* connection, std::optional<Problem>& refused) {
        int code = SQLITE_OK;
        if (const auto* const opened = std::get_if<Opened>(&event.what)) {
            code = open_row(connection, visit_id, event, *opened);
        }
        return code != SQLITE_OK ? code
                                 : append(connection, visit_id, event, *json,
                                          std::string(kind_of(event.what)), headline, inside_->path, refused);
    });
    if (saved && std::holds_alternative<Closed>(event.what))
        inside_->checkpoint();
    answer(done, saved);
}

Result<std::vector<SiteRow>> Store::sites() const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::vector<SiteRow> sites;
    Query rows(inside_->connection.get(), "SELECT id, json FROM site ORDER BY name COLLATE NOCASE, id");
    while (rows.row()) {
        Result<Site> site = site_from_json(rows.text(1));
        if (!site) {
            Problem problem = site.error();
            problem.where = inside_->path + ", site " + rows.text(0) + ", " + problem.where;
            return problem;
        }
        sites.push_back(SiteRow{rows.text(0), std::move(*site)});
    }
    if (rows.failed())
        return inside_->fail(rows.code());
    return sites;
}

Result<std::vector<VisitRow>> Store::visits(const std::string& site_id) const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::vector<VisitRow> visits;
    Query rows(
        inside_->connection.get(),
        "SELECT v.id, v.site_id, coalesce(s.name, v.site_name), v.opened_at_ms, v.last_at_ms, v.events, "
        "v.closed, v.headline FROM visit v LEFT JOIN site s ON s.id=v.site_id "
        "WHERE ?1='' OR v.site_id=?1 ORDER BY v.opened_at_ms DESC, v.rowid DESC");
    rows.bind(1, site_id);
    while (rows.row()) {
        VisitRow visit;
        visit.id = rows.text(0);
        visit.site_id = rows.text(1);
        visit.site_name = rows.text(2);
        visit.opened_at.ms = rows.number(3);
        visit.last_at.ms = rows.number(4);
        visit.events = static_cast<int>(rows.number(5));
        visit.headline = rows.text(7);
        if (!rows.is_null(6)) {
            const Result<Happening> closed = happening_from_json(rows.text(6));
            const Closed* const how = closed ? std::get_if<Closed>(&*closed) : nullptr;
            if (!how)
                return problem_of(SQLITE_CORRUPT, inside_->path);
            visit.closed = how->how;
        }
        visits.push_back(std::move(visit));
    }
    if (rows.failed())
        return inside_->fail(rows.code());
    return visits;
}

Result<std::vector<Event>> Store::events(const std::string& visit_id) const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::vector<Event> events;
    Query rows(inside_->connection.get(), events_sql);
    rows.bind(1, visit_id);
    while (rows.row()) {
        Result<Event> event = event_of(rows, inside_->path);
        if (!event)
            return event.error();
        events.push_back(std::move(*event));
    }
    if (rows.failed())
        return inside_->fail(rows.code());
    return events;
}

Result<std::optional<std::string>> Store::open_visit() const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    Query rows(inside_->connection.get(),
               "SELECT id FROM visit WHERE closed IS NULL ORDER BY touched DESC LIMIT 1");
    std::optional<std::string> id;
    if (rows.row())
        id = rows.text(0);
    if (rows.failed())
        return inside_->fail(rows.code());
    return id;
}

void Store::save_setting(const std::string& key, const std::string& value, const Completion& done) {
    if (!is_utf8(key) || !is_utf8(value))
        return answer(done, not_text("setting"));
    answer(done, inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        Query query(connection,
                    "INSERT INTO setting VALUES(?1,?2) ON CONFLICT(key) DO UPDATE SET value=excluded.value");
        return query.bind(1, key).bind(2, value).run();
    }));
}

Result<std::optional<std::string>> Store::setting(const std::string& key) const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    Query rows(inside_->connection.get(), "SELECT value FROM setting WHERE key=?1");
    rows.bind(1, key);
    std::optional<std::string> value;
    if (rows.row())
        value = rows.text(0);
    if (rows.failed())
        return inside_->fail(rows.code());
    return value;
}

std::string new_id(std::span<const std::uint8_t, 16> random) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string id;
    for (const std::uint8_t byte : random) {
        id += digits[byte >> 4];
        id += digits[byte & 15];
    }
    return id;
}

} // namespace beckhand

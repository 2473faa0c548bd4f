// What lists show, computed from the entries. Saving one event takes the short way (append_entry); arrivals
// from elsewhere and a check go through all entries once (rebuild). Both ways end in the same rows: a test
// holds them against each other.
#include "engine/records/entries.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "engine/records/event_json.h"

namespace beckhand::log_file {
namespace {

// A clock is set right by a few seconds often enough; before this day there was no Beckhand (1 January 2025).
constexpr std::int64_t small_step_ms = 60'000;
constexpr std::int64_t no_earlier_ms = 1'735'689'600'000;

bool is_doubtful(std::int64_t at_ms, std::int64_t latest_ms) {
    return at_ms < latest_ms - small_step_ms || at_ms < no_earlier_ms;
}

struct Timing {
    std::int64_t order_ms = 0, order_number = 0;
    bool doubtful = false;
};

/// A row of `visit`, in the table's order.
struct Row {
    std::string id, site_id, site_name;
    std::int64_t opened_at_ms = 0, last_at_ms = 0, events = 0;
    std::string headline;
    std::int64_t closed = 0, touched = 0;
    Timing timing;
};

Hash sum_of(const Row& row) {
    std::string bytes;
    for (const std::string* text : {&row.id, &row.site_id, &row.site_name, &row.headline})
        put(bytes, *text);
    for (const std::int64_t number :
         {row.opened_at_ms, row.last_at_ms, row.events, row.closed, row.touched, row.timing.order_ms,
          row.timing.order_number, std::int64_t{row.timing.doubtful}})
        put(bytes, number);
    return hash_of_bytes(bytes);
}

Hash sum_of(const ListedSite& site) {
    std::string bytes;
    put(bytes, site.id);
    put(bytes, site.name);
    put(bytes, site.device);
    put(bytes, site.number);
    return hash_of_bytes(bytes);
}

bool same(const Query& row, int column, const Hash& hash) {
    const std::string kept = row.text(column);
    return kept.size() == hash.size() &&
           std::equal(hash.begin(), hash.end(), kept.begin(),
                      [](std::uint8_t a, char b) { return a == static_cast<std::uint8_t>(b); });
}

int write_row(sqlite3* connection, const Row& row) {
    Query query(connection, "INSERT OR REPLACE INTO visit VALUES(?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,?13)");
    query.bind(1, row.id).bind(2, row.site_id).bind(3, row.site_name).bind(4, row.opened_at_ms);
    query.bind(5, row.last_at_ms).bind(6, row.events).bind(7, row.headline).bind(8, row.closed);
    query.bind(9, row.touched).bind(10, row.timing.order_ms).bind(11, row.timing.order_number);
    query.bind(12, std::int64_t{row.timing.doubtful}).bind_bytes(13, sum_of(row));
    return query.run();
}

Row row_of(const Query& query) {
    Row row{query.text(0),   query.text(1), query.text(2), query.number(3), query.number(4), query.number(5),
            query.text(6), query.number(7), query.number(8), {query.number(9), query.number(10), query.number(11) != 0}};
    return row;
}

constexpr const char* row_columns =
    "id, site_id, site_name, opened_at_ms, last_at_ms, events, headline, closed, touched, order_ms, "
    "order_number, doubtful, sum";

/// 0 for open, else 1 + how: of the closings and what was taken back alone, for nothing else can matter.
int closed_of(sqlite3* connection, const std::string& visit, std::int64_t& closed) {
    closed = 0;
    std::vector<Event> events;
    Query rows(connection, "SELECT place, json FROM entry WHERE subject=?1 AND kind IN ('closed','took_back') "
                           "ORDER BY place, device, number");
    rows.bind(1, visit);
    while (rows.row()) {
        Result<Happening> what = happening_from_json(rows.text(1));
        if (!what)
            continue; // damaged or of a newer program: reading the visit says so
        Event event;
        event.number = static_cast<int>(rows.number(0));
        event.what = std::move(*what);
        events.push_back(std::move(event));
    }
    if (const std::optional<Closing> how = fold(events).closed)
        closed = 1 + static_cast<std::int64_t>(*how);
    return rows.code();
}

/// Number of the newest own entry of a visit; entries under a later own device count higher.
int touched_of(sqlite3* connection, const std::string& visit, std::int64_t& touched) {
    Query query(connection, "SELECT coalesce(max(((o.rank - 1) << 40) + e.number), 0) FROM entry e "
                            "JOIN own o ON o.device=e.device WHERE e.subject=?1");
    query.bind(1, visit);
    touched = query.row() ? query.number(0) : 0;
    return query.code();
}

/// The visit's row as its entries have it; `timing` comes from whoever went through the devices' streams.
int refresh_visit(sqlite3* connection, const std::string& visit, const Timing& timing) {
    Row row;
    row.id = visit;
    row.timing = timing;
    Query first(connection, "SELECT at_ms, json FROM entry WHERE subject=?1 AND kind='opened' "
                            "ORDER BY place, device, number LIMIT 1");
    first.bind(1, visit);
    if (!first.row())
        return first.code(); // no list shows a visit whose opening is not here
    row.opened_at_ms = first.number(0);
    const Result<Happening> what = happening_from_json(first.text(1));
    if (const Opened* const opened = what ? std::get_if<Opened>(&*what) : nullptr) {
        row.site_id = opened->site_id;
        row.site_name = opened->site.name;
    }
    Query last(connection, "SELECT at_ms, headline, (SELECT count(*) FROM entry WHERE subject=?1) FROM entry "
                           "WHERE subject=?1 ORDER BY place DESC, device DESC, number DESC LIMIT 1");
    last.bind(1, visit);
    if (last.row()) {
        row.last_at_ms = last.number(0);
        row.headline = last.text(1);
        row.events = last.number(2);
    }
    int code = last.code();
    if (code == SQLITE_OK)
        code = closed_of(connection, visit, row.closed);
    if (code == SQLITE_OK)
        code = touched_of(connection, visit, row.touched);
    return code == SQLITE_OK ? write_row(connection, row) : code;
}

/// Of the sheets of a site the one with the highest version; no clock has a say in it.
int refresh_site(sqlite3* connection, const std::string& id) {
    Query query(connection, "SELECT device, number, json FROM entry WHERE subject=?1 AND kind='site_sheet' "
                            "ORDER BY place DESC, device DESC, number DESC LIMIT 1");
    query.bind(1, id);
    if (!query.row())
        return query.code();
    const Result<Site> site = site_from_json(query.text(2));
    const ListedSite listed{id, site ? site->name : std::string(), query.text(0), query.number(1)};
    Query write(connection, "INSERT OR REPLACE INTO site VALUES(?1,?2,?3,?4,?5)");
    write.bind(1, listed.id).bind(2, listed.name).bind(3, listed.device).bind(4, listed.number);
    return write.bind_bytes(5, sum_of(listed)).run();
}

int keep_latest(sqlite3* connection, const std::string& device, std::int64_t latest_ms) {
    Query query(connection, "INSERT OR REPLACE INTO stream VALUES(?1,?2)");
    return query.bind(1, device).bind(2, latest_ms).run();
}

/// Goes through a device's entries in the order in which they were written, with the latest time so far.
int go_through(sqlite3* connection, const std::string& device, std::map<std::string, Timing>& visits,
               std::set<std::string>& sites) {
    std::int64_t latest = 0;
    Query rows(connection, "SELECT subject, kind, at_ms, number FROM entry WHERE device=?1 ORDER BY number");
    rows.bind(1, device);
    while (rows.row()) {
        const std::int64_t at = rows.number(2);
        const std::string kind = rows.text(1);
        if (kind == site_sheet_kind) {
            sites.insert(rows.text(0));
        } else {
            Timing& timing = visits[rows.text(0)];
            timing.doubtful = timing.doubtful || is_doubtful(at, latest);
            if (kind == "opened" && timing.order_number == 0) {
                timing.order_ms = std::max(at, latest);
                timing.order_number = rows.number(3);
            }
        }
        latest = std::max(latest, at);
    }
    return rows.failed() ? rows.code() : keep_latest(connection, device, latest);
}

int refresh(sqlite3* connection, const std::vector<std::string>& devices) {
    std::map<std::string, Timing> visits;
    std::set<std::string> sites;
    for (const std::string& device : devices) {
        if (const int code = go_through(connection, device, visits, sites); code != SQLITE_OK)
            return code;
    }
    for (const std::string& site : sites) {
        if (const int code = refresh_site(connection, site); code != SQLITE_OK)
            return code;
    }
    for (const auto& [visit, timing] : visits) {
        if (const int code = refresh_visit(connection, visit, timing); code != SQLITE_OK)
            return code;
    }
    return SQLITE_OK;
}

int devices_in(sqlite3* connection, std::vector<std::string>& devices) {
    Query query(connection, "SELECT DISTINCT device FROM entry ORDER BY device");
    while (query.row())
        devices.push_back(query.text(0));
    return query.code();
}

} // namespace

int append_entry(sqlite3* connection, const std::string& device, LogEntry& entry) {
    Tail tail;
    int code = tail_of(connection, device, tail);
    if (code != SQLITE_OK)
        return code;
    entry.device = device;
    entry.number = tail.number + 1;
    entry.prev = tail.hash;
    entry.hash = hash_of(entry);
    code = add_entry(connection, "entry", entry);
    if (code == SQLITE_OK)
        code = keep_latest(connection, device, std::max(tail.latest_ms, entry.at.ms));
    if (code != SQLITE_OK)
        return code;
    if (entry.kind == site_sheet_kind)
        return refresh_site(connection, entry.subject);
    Timing timing{std::max(tail.latest_ms, entry.at.ms), entry.number, false};
    Query held(connection, "SELECT order_ms, order_number, doubtful FROM visit WHERE id=?1");
    held.bind(1, entry.subject);
    if (held.row())
        timing = {held.number(0), held.number(1), held.number(2) != 0};
    if (held.failed())
        return held.code();
    timing.doubtful = timing.doubtful || is_doubtful(entry.at.ms, tail.latest_ms);
    return refresh_visit(connection, entry.subject, timing);
}

int rebuild(sqlite3* connection) {
    int code = sqlite3_exec(connection, "DELETE FROM site; DELETE FROM visit; DELETE FROM stream", nullptr,
                            nullptr, nullptr);
    std::vector<std::string> devices;
    if (code == SQLITE_OK)
        code = devices_in(connection, devices);
    return code == SQLITE_OK ? refresh(connection, devices) : code;
}

int listed_sites(sqlite3* connection, std::vector<ListedSite>& sites, bool& sound) {
    Query rows(connection, "SELECT id, name, device, number, sum FROM site ORDER BY name COLLATE NOCASE, id");
    while (rows.row()) {
        ListedSite site{rows.text(0), rows.text(1), rows.text(2), rows.number(3)};
        sound = sound && same(rows, 4, sum_of(site));
        sites.push_back(std::move(site));
    }
    return rows.code();
}

int listed_visits(sqlite3* connection, const std::string& site_id, std::vector<VisitRow>& visits, bool& sound) {
    std::vector<ListedSite> sites;
    if (const int code = listed_sites(connection, sites, sound); code != SQLITE_OK)
        return code;
    std::map<std::string, std::string> names;
    for (const ListedSite& site : sites)
        names.emplace(site.id, site.name);
    const std::string sql = std::string("SELECT ") + row_columns + " FROM visit" +
                            (site_id.empty() ? "" : " WHERE site_id=?1") +
                            " ORDER BY order_ms DESC, order_number DESC, id";
    Query rows(connection, sql.c_str());
    if (!site_id.empty())
        rows.bind(1, site_id);
    while (rows.row()) {
        const Row row = row_of(rows);
        sound = sound && same(rows, 12, sum_of(row)) && row.closed >= 0 && row.closed <= 4;
        VisitRow visit;
        visit.id = row.id;
        visit.site_id = row.site_id;
        const auto named = names.find(row.site_id);
        visit.site_name = named == names.end() ? row.site_name : named->second;
        visit.opened_at.ms = row.opened_at_ms;
        visit.last_at.ms = row.last_at_ms;
        visit.events = static_cast<int>(row.events);
        visit.headline = row.headline;
        visit.doubtful_times = row.timing.doubtful;
        if (row.closed > 0)
            visit.closed = static_cast<Closing>(row.closed - 1);
        visits.push_back(std::move(visit));
    }
    return rows.code();
}

int visit_to_go_on_with(sqlite3* connection, std::string& id) {
    Query rows(connection, "SELECT id FROM visit WHERE closed=0 AND touched>0 ORDER BY touched DESC LIMIT 1");
    if (rows.row())
        id = rows.text(0);
    return rows.code();
}

} // namespace beckhand::log_file

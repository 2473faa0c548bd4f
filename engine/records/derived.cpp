// What lists show, computed from the entries. Saving one event takes the short way (append_entry); arrivals
// from elsewhere and a check go through all entries once (rebuild). Both ways end in the same rows: a test
// holds them against each other.
#include "engine/records/entries.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include <nlohmann/json.hpp>

#include "engine/records/event_json.h"
#include "engine/records/meaning.h"

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
    std::string id, subject, site_id, site_name;
    std::int64_t opened_at_ms = 0, last_at_ms = 0, events = 0;
    std::string headline;
    std::int64_t branches = 1;
    std::int64_t closed = 0;    // 0 for open, else 1 + how
    std::int64_t touched = 0;   // number of its newest own entry; under a later own device they count higher
    Timing timing;
};

Hash sum_of(const Row& row) {
    std::string bytes;
    for (const std::string* text : {&row.id, &row.subject, &row.site_id, &row.site_name, &row.headline})
        put(bytes, *text);
    for (const std::int64_t number :
         {row.opened_at_ms, row.last_at_ms, row.events, row.branches, row.closed, row.touched, row.timing.order_ms,
          row.timing.order_number, std::int64_t{row.timing.doubtful}})
        put(bytes, number);
    return hash_of_bytes(bytes);
}

Hash sum_of(const ListedSite& site) {
    std::string bytes;
    put(bytes, site.id);
    put(bytes, site.name);
    put(bytes, site.json);
    put(bytes, site.differences);
    return hash_of_bytes(bytes);
}

bool same(const Query& row, int column, const Hash& hash) {
    const std::string kept = row.text(column);
    return kept.size() == hash.size() &&
           std::equal(hash.begin(), hash.end(), kept.begin(),
                      [](std::uint8_t a, char b) { return a == static_cast<std::uint8_t>(b); });
}

int write_row(sqlite3* connection, const Row& row) {
    Query query(connection,
                "INSERT OR REPLACE INTO visit VALUES(?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,?13,?14,?15)");
    query.bind(1, row.id).bind(2, row.subject).bind(3, row.site_id).bind(4, row.site_name);
    query.bind(5, row.opened_at_ms).bind(6, row.last_at_ms).bind(7, row.events).bind(8, row.headline);
    query.bind(9, row.branches).bind(10, row.closed).bind(11, row.touched);
    query.bind(12, row.timing.order_ms).bind(13, row.timing.order_number);
    query.bind(14, std::int64_t{row.timing.doubtful}).bind_bytes(15, sum_of(row));
    return query.run();
}

Row row_of(const Query& query) {
    return {query.text(0),   query.text(1),   query.text(2),    query.text(3),   query.number(4), query.number(5),
            query.number(6), query.text(7),   query.number(8),  query.number(9), query.number(10),
            {query.number(11), query.number(12), query.number(13) != 0}};
}

constexpr const char* row_columns =
    "id, subject, site_id, site_name, opened_at_ms, last_at_ms, events, headline, branches, closed, touched, "
    "order_ms, order_number, doubtful, sum";

/// An entry of a visit, as far as lists need it.
struct Light {
    Link link;
    std::int64_t at_ms = 0, touched = 0;
    std::string kind, headline, json; // json: of what opens and closes
};

Hash hash_in(const std::string& bytes, std::size_t at) {
    Hash hash{};
    if (bytes.size() >= at + hash.size())
        std::copy_n(bytes.begin() + static_cast<std::ptrdiff_t>(at), hash.size(), hash.begin());
    return hash;
}

int light_entries(sqlite3* connection, const std::string& visit, std::vector<Light>& entries) {
    Query rows(connection,
               "SELECT e.place, e.hash, e.after, e.at_ms, coalesce(((o.rank - 1) << 40) + e.number, 0), e.kind, "
               "e.headline, CASE WHEN e.kind IN ('opened','closed','took_back') THEN e.json ELSE '' END "
               "FROM entry e LEFT JOIN own o ON o.device=e.device "
               "WHERE e.subject=?1 AND e.kind NOT IN ('site_sheet','erase_wish') ORDER BY e.place, e.hash");
    rows.bind(1, visit);
    while (rows.row()) {
        Light entry;
        entry.link.place = rows.number(0);
        entry.link.hash = hash_in(rows.text(1), 0);
        const std::string after = rows.text(2);
        for (std::size_t at = 0; at + sizeof(Hash) <= after.size(); at += sizeof(Hash))
            entry.link.after.push_back(hash_in(after, at));
        entry.at_ms = rows.number(3);
        entry.touched = rows.number(4);
        entry.kind = rows.text(5);
        entry.headline = rows.text(6);
        entry.json = rows.text(7);
        entries.push_back(std::move(entry));
    }
    return rows.code();
}

std::vector<Branch> branches_in(const std::vector<Light>& entries) {
    std::vector<Link> links;
    for (const Light& entry : entries)
        links.push_back(entry.link);
    return branches_of(links);
}

std::int64_t touched_in(const std::vector<Light>& entries, const Branch& branch) {
    std::int64_t touched = 0;
    for (const std::size_t event : branch.events)
        touched = std::max(touched, entries[event].touched);
    return touched;
}

/// Six bytes of the name of a branch's first own entry tell it apart, on every device and however it grows.
std::string name_in_row(const Hash& hash) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string name;
    for (std::size_t i = 0; i < 6; ++i) {
        name += digits[hash[i] >> 4];
        name += digits[hash[i] & 15];
    }
    return name;
}

/// What was closed and what was taken back alone, for nothing else can matter.
std::int64_t closed_of(const std::vector<Light>& entries, const Branch& branch) {
    std::vector<Event> events;
    for (const std::size_t one : branch.events) {
        const Light& entry = entries[one];
        if (entry.kind != "closed" && entry.kind != "took_back")
            continue;
        Result<Happening> what = happening_from_json(entry.json);
        if (!what)
            continue; // damaged or of a newer program: reading the visit says so
        Event event;
        event.number = static_cast<int>(entry.link.place);
        event.what = std::move(*what);
        events.push_back(std::move(event));
    }
    const std::optional<Closing> how = fold(events).closed;
    return how ? 1 + static_cast<std::int64_t>(*how) : 0;
}

/// A row for each branch of the visit, as its entries have it; `timing` comes from whoever went through the
/// devices' streams. No list shows a branch whose opening is not here.
int refresh_visit(sqlite3* connection, const std::string& visit, const Timing& timing) {
    std::vector<Light> entries;
    int code = light_entries(connection, visit, entries);
    if (code != SQLITE_OK)
        return code;
    Query gone(connection, "DELETE FROM visit WHERE subject=?1");
    code = gone.bind(1, visit).run();
    const std::vector<Branch> branches = branches_in(entries);
    for (const Branch& branch : branches) {
        const Light& first = entries[branch.events.front()];
        const Light& last = entries[branch.events.back()];
        if (code != SQLITE_OK || first.kind != "opened")
            continue;
        Row row;
        row.subject = visit;
        row.id = visit;
        if (branches.size() > 1)
            row.id += "~" + name_in_row(entries[branch.events[branch.own_from]].link.hash);
        const Result<Happening> what = happening_from_json(first.json);
        if (const Opened* const opened = what ? std::get_if<Opened>(&*what) : nullptr) {
            row.site_id = opened->site_id;
            row.site_name = opened->site.name;
        }
        row.opened_at_ms = first.at_ms;
        row.last_at_ms = last.at_ms;
        row.headline = last.headline;
        row.events = static_cast<std::int64_t>(branch.events.size());
        row.branches = static_cast<std::int64_t>(branches.size());
        row.closed = closed_of(entries, branch);
        row.touched = touched_in(entries, branch);
        row.timing = timing;
        code = write_row(connection, row);
    }
    return code;
}

/// All sheets of a site together; no clock has a say in it.
int refresh_site(sqlite3* connection, const std::string& id) {
    std::vector<LogEntry> sheets;
    const int code = sheets_of(connection, id, sheets);
    if (code != SQLITE_OK || sheets.empty())
        return code;
    std::vector<const LogEntry*> pointers;
    for (const LogEntry& sheet : sheets)
        pointers.push_back(&sheet);
    const SiteView view = site_view(id, pointers);
    nlohmann::json differences = nlohmann::json::array();
    for (const FieldValues& field : view.fields) {
        if (field.live.size() < 2)
            continue;
        nlohmann::json one = nlohmann::json::array({field.field});
        for (const FieldValue& value : field.live)
            one.push_back(value.json);
        differences.push_back(std::move(one));
    }
    const ListedSite listed{id, view.site.name, to_json(view.site), differences.dump()};
    Query write(connection, "INSERT OR REPLACE INTO site VALUES(?1,?2,?3,?4,?5)");
    write.bind(1, listed.id).bind(2, listed.name).bind(3, listed.json).bind(4, listed.differences);
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
    Query rows(connection, "SELECT subject, kind, at_ms, number FROM entry WHERE device=?1 "
                           "ORDER BY number, hash");
    rows.bind(1, device);
    while (rows.row()) {
        const std::int64_t at = rows.number(2);
        const std::string kind = rows.text(1);
        if (kind == site_sheet_kind) {
            sites.insert(rows.text(0));
        } else if (kind != erase_wish_kind) {
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
    code = add_entry(connection, entry);
    if (code == SQLITE_OK)
        code = keep_latest(connection, device, std::max(tail.latest_ms, entry.at.ms));
    if (code != SQLITE_OK)
        return code;
    if (entry.kind == site_sheet_kind)
        return refresh_site(connection, entry.subject);
    if (entry.kind == erase_wish_kind)
        return SQLITE_OK;
    Timing timing{std::max(tail.latest_ms, entry.at.ms), entry.number, false};
    Query held(connection, "SELECT order_ms, order_number, doubtful FROM visit WHERE subject=?1");
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
    Query rows(connection, "SELECT id, name, json, differences, sum FROM site ORDER BY name COLLATE NOCASE, id");
    while (rows.row()) {
        ListedSite site{rows.text(0), rows.text(1), rows.text(2), rows.text(3)};
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
        sound = sound && same(rows, 14, sum_of(row)) && row.closed >= 0 && row.closed <= 4;
        VisitRow visit;
        visit.id = row.id;
        visit.site_id = row.site_id;
        const auto named = names.find(row.site_id);
        visit.site_name = named == names.end() ? row.site_name : named->second;
        visit.opened_at.ms = row.opened_at_ms;
        visit.last_at.ms = row.last_at_ms;
        visit.events = static_cast<int>(row.events);
        visit.headline = row.headline;
        visit.branches = static_cast<int>(row.branches);
        visit.doubtful_times = row.timing.doubtful;
        if (row.closed > 0)
            visit.closed = static_cast<Closing>(row.closed - 1);
        visits.push_back(std::move(visit));
    }
    return rows.code();
}

std::string subject_of(const std::string& row_id) {
    return row_id.substr(0, row_id.find('~'));
}

int branch_entries(sqlite3* connection, const std::string& row_id, std::vector<LogEntry>& entries) {
    const std::string subject = subject_of(row_id);
    std::vector<Light> all;
    if (const int code = light_entries(connection, subject, all); code != SQLITE_OK)
        return code;
    const std::string wanted = subject.size() < row_id.size() ? row_id.substr(subject.size() + 1) : std::string();
    const std::vector<Branch> branches = branches_in(all);
    const Branch* chosen = nullptr;
    for (const Branch& branch : branches) {
        const bool named = std::any_of(branch.events.begin(), branch.events.end(), [&](std::size_t event) {
            return wanted.empty() || name_in_row(all[event].link.hash) == wanted;
        });
        if (named && (!chosen || touched_in(all, branch) > touched_in(all, *chosen)))
            chosen = &branch;
    }
    if (!chosen)
        return SQLITE_OK;
    const std::string sql = std::string("SELECT ") + entry_columns +
                            " FROM entry WHERE subject=?1 AND kind NOT IN ('site_sheet','erase_wish') "
                            "ORDER BY place, hash";
    std::vector<LogEntry> whole;
    Query rows(connection, sql.c_str()); // in the order of light_entries
    rows.bind(1, subject);
    while (rows.row())
        whole.push_back(entry_of(rows));
    for (const std::size_t event : chosen->events) {
        if (event < whole.size())
            entries.push_back(std::move(whole[event]));
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

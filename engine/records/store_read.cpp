// What the log holds, read back. Entries are held against their hash as they are read, rows of lists
// against their sum: what damage has changed is never shown as what was saved.
#include "engine/records/event_json.h"
#include "engine/records/store_inside.h"

namespace beckhand {

using log_file::entry_of;
using log_file::is_sound;
using log_file::ListedSite;
using log_file::Query;

namespace {

Result<Event> event_of(const LogEntry& entry, const std::string& path) {
    Result<Happening> what = happening_from_json(entry.json);
    if (!what) {
        Problem problem = what.error();
        problem.where = path + ", event " + std::to_string(entry.place);
        return problem;
    }
    Event event;
    event.number = static_cast<int>(entry.place);
    event.at = entry.at;
    event.by = entry.by;
    event.what = std::move(*what);
    return event;
}

Problem left_out(const std::string& path, int entries) {
    return {path,
            std::to_string(entries) + (entries == 1 ? " answer of this visit was" : " answers of this visit were") +
                " changed by damage and left out.",
            "Look whether they matter here; `beckhand log check` names every place."};
}

/// Lists are computed from the entries; when one is damaged it is computed again.
template <class Inside, class Read>
Outcome read_list(Inside& inside, Read read) {
    if (const Outcome o = inside.ready(); !o)
        return o;
    bool sound = true;
    if (const int code = read(sound); code != SQLITE_OK)
        return inside.fail(code);
    if (sound)
        return Done{};
    const Outcome again = inside.transaction(
        [](sqlite3* connection, std::optional<Problem>&) { return log_file::rebuild(connection); });
    if (!again)
        return again;
    sound = true;
    const int code = read(sound);
    if (code != SQLITE_OK || !sound)
        return inside.fail(code == SQLITE_OK ? SQLITE_CORRUPT : code);
    return Done{};
}

} // namespace

Result<std::vector<SiteRow>> Store::sites() const {
    std::vector<ListedSite> listed;
    const Outcome read = read_list(*inside_, [&](bool& sound) {
        listed.clear();
        return log_file::listed_sites(inside_->connection.get(), listed, sound);
    });
    if (!read)
        return read.error();
    std::vector<SiteRow> sites;
    const std::string sql = std::string("SELECT ") + log_file::entry_columns +
                            " FROM entry WHERE device=?1 AND number=?2";
    for (const ListedSite& one : listed) {
        Query row(inside_->connection.get(), sql.c_str());
        row.bind(1, one.device).bind(2, one.number);
        if (!row.row()) {
            if (row.failed())
                return inside_->fail(row.code());
            continue;
        }
        const LogEntry entry = entry_of(row);
        if (!is_sound(entry)) {
            inside_->notice = Problem{inside_->path, "The sheet of a site was changed by damage and is left out.",
                                      "Write the sheet again; `beckhand log check` names the place."};
            continue;
        }
        Result<Site> site = site_from_json(entry.json);
        if (!site) {
            Problem problem = site.error();
            problem.where = inside_->path + ", site " + one.id + ", " + problem.where;
            return problem;
        }
        sites.push_back(SiteRow{one.id, std::move(*site)});
    }
    return sites;
}

Result<std::vector<VisitRow>> Store::visits(const std::string& site_id) const {
    std::vector<VisitRow> visits;
    const Outcome read = read_list(*inside_, [&](bool& sound) {
        visits.clear();
        return log_file::listed_visits(inside_->connection.get(), site_id, visits, sound);
    });
    if (!read)
        return read.error();
    return visits;
}

Result<std::vector<Event>> Store::events(const std::string& visit_id) const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::vector<Event> events;
    int broken = 0;
    const std::string sql = std::string("SELECT ") + log_file::entry_columns +
                            " FROM entry WHERE subject=?1 AND kind<>'site_sheet' ORDER BY place, device, number";
    Query rows(inside_->connection.get(), sql.c_str());
    rows.bind(1, visit_id);
    while (rows.row()) {
        const LogEntry entry = entry_of(rows);
        if (!is_sound(entry)) {
            ++broken;
            continue;
        }
        Result<Event> event = event_of(entry, inside_->path);
        if (!event)
            return event.error();
        events.push_back(std::move(*event));
    }
    if (rows.failed())
        return inside_->fail(rows.code());
    if (broken > 0)
        inside_->notice = left_out(inside_->path, broken);
    return events;
}

Result<std::optional<std::string>> Store::open_visit() const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::string id;
    if (const int code = log_file::visit_to_go_on_with(inside_->connection.get(), id); code != SQLITE_OK)
        return inside_->fail(code);
    return id.empty() ? std::optional<std::string>() : std::optional<std::string>(id);
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

} // namespace beckhand

// What the log holds, read back. Entries are held against their hash as they are read, rows of lists
// against their sum: what damage has changed is never shown as what was saved.
#include <nlohmann/json.hpp>

#include "engine/records/event_json.h"
#include "engine/records/meaning.h"
#include "engine/records/store_inside.h"

namespace beckhand {

using log_file::is_sound;
using log_file::ListedSite;
using log_file::Query;

namespace {

/// Written by refresh_site, and held against the row's sum since.
std::vector<SiteDifference> differences_in(const std::string& json) {
    std::vector<SiteDifference> differences;
    const nlohmann::json all = nlohmann::json::parse(json, nullptr, false);
    if (!all.is_array())
        return differences;
    for (const nlohmann::json& one : all) {
        SiteDifference difference;
        for (const nlohmann::json& text : one) {
            if (difference.field.empty())
                difference.field = text.get<std::string>();
            else
                difference.values.push_back(text.get<std::string>());
        }
        differences.push_back(std::move(difference));
    }
    return differences;
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
    for (const ListedSite& one : listed) {
        Result<Site> site = site_from_json(one.json);
        if (!site) {
            Problem problem = site.error();
            problem.where = inside_->path + ", site " + one.id + ", " + problem.where;
            return problem;
        }
        sites.push_back(SiteRow{one.id, std::move(*site), differences_in(one.differences)});
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
    std::vector<LogEntry> branch;
    if (const int code = log_file::branch_entries(inside_->connection.get(), visit_id, branch); code != SQLITE_OK)
        return inside_->fail(code);
    std::vector<Event> events;
    int broken = 0;
    for (const LogEntry& entry : branch) {
        if (!is_sound(entry)) {
            ++broken;
            continue;
        }
        Result<Event> event = event_of(entry);
        if (!event) {
            Problem problem = event.error();
            problem.where = inside_->path + ", event " + std::to_string(entry.place);
            return problem;
        }
        events.push_back(std::move(*event));
    }
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

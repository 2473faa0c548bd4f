#include "engine/records/sheets.h"

#include <algorithm>
#include <set>
#include <vector>

#include <nlohmann/json.hpp>

#include "engine/records/erasing.h"
#include "engine/records/event_json.h"
#include "engine/records/meaning.h"

namespace beckhand::log_file {
namespace {

using Json = nlohmann::ordered_json;

SiteView view_of(const std::string& site, const std::vector<LogEntry>& sheets) {
    std::vector<const LogEntry*> pointers;
    for (const LogEntry& sheet : sheets)
        pointers.push_back(&sheet);
    return site_view(site, pointers);
}

/// Version and predecessors of the sheet that comes behind all of these.
void put_behind(const std::vector<LogEntry>& sheets, LogEntry& next) {
    next.place = 1;
    std::set<Hash> ends;
    for (const LogEntry& sheet : sheets) { // by version: what is followed comes before
        next.place = std::max(next.place, sheet.place + 1);
        for (const Hash& before : sheet.after)
            ends.erase(before);
        ends.insert(sheet.hash);
    }
    next.after.assign(ends.begin(), ends.end());
}

/// What is counted with, without the name; fields of a newer program are carried on as they are.
std::string json_without(const SiteView& view, const std::string& name) {
    const std::string known = to_json(without_name(view.site, name));
    Json json = Json::parse(known, nullptr, false);
    bool newer = false;
    for (const FieldValues& field : view.fields) {
        if (site_from_json(field.counted))
            continue;
        newer = true;
        json.merge_patch(Json::parse(field.counted, nullptr, false));
    }
    return newer ? json.dump(-1, ' ', false, Json::error_handler_t::replace) : known;
}

} // namespace

int present_sheet(sqlite3* connection, LogEntry& next, std::string& json) {
    std::vector<LogEntry> sheets;
    if (const int code = sheets_of(connection, next.subject, sheets); code != SQLITE_OK)
        return code;
    put_behind(sheets, next);
    if (!sheets.empty())
        json = to_json(view_of(next.subject, sheets).site);
    return SQLITE_OK;
}

int renew_sheets(sqlite3* connection, const std::string& device, const std::string& name, Instant at,
                 const NewDevice& random, int& renewed, int& erased) {
    std::vector<std::string> sites;
    Query subjects(connection, "SELECT DISTINCT subject FROM entry WHERE kind='site_sheet' ORDER BY subject");
    while (subjects.row())
        sites.push_back(subjects.text(0));
    int code = subjects.code();
    for (const std::string& site : sites) {
        std::vector<LogEntry> sheets;
        code = code == SQLITE_OK ? sheets_of(connection, site, sheets) : code;
        std::vector<LogEntry> naming;
        std::copy_if(sheets.begin(), sheets.end(), std::back_inserter(naming),
                     [&](const LogEntry& sheet) { return sheet_mentions(sheet, name); });
        if (naming.empty())
            continue;
        LogEntry next;
        next.subject = site;
        next.at = at;
        next.kind = site_sheet_kind;
        put_behind(sheets, next);
        next.json = json_without(view_of(site, sheets), name);
        draw_secrets(next, random);
        code = code == SQLITE_OK ? append_entry(connection, device, next) : code;
        renewed += 1;
        for (LogEntry& sheet : naming) {
            erase_sheet(sheet);
            code = code == SQLITE_OK ? write_erased(connection, sheet) : code;
            erased += 1;
        }
    }
    return code == SQLITE_OK && renewed > 0 ? rebuild(connection) : code;
}

} // namespace beckhand::log_file

// The log between devices: entries handed out and taken in, and the check of every one of them.
#include <limits>
#include <set>

#include "engine/records/event_json.h"
#include "engine/records/schema.h"
#include "engine/records/store_inside.h"

namespace beckhand {

using log_file::add_entry;
using log_file::entry_of;
using log_file::is_sound;
using log_file::Query;

namespace {

std::string select_entries(const char* where) {
    return std::string("SELECT ") + log_file::entry_columns + " FROM entry " + where + " ORDER BY device, number";
}

int sound_entries(Query& rows, std::vector<LogEntry>& entries) {
    while (rows.row()) {
        LogEntry entry = entry_of(rows);
        if (is_sound(entry))
            entries.push_back(std::move(entry));
    }
    return rows.code();
}

Problem not_an_entry(const LogEntry& entry, const char* what) {
    return {"entry " + std::to_string(entry.number) + " of device " + entry.device.substr(0, 8), what,
            "Ask for the file again; nothing of it was taken in."};
}

Outcome acceptable(const LogEntry& entry) {
    for (const std::string* text :
         {&entry.device, &entry.subject, &entry.by, &entry.kind, &entry.headline, &entry.json}) {
        if (!is_utf8(*text))
            return not_an_entry(entry, "Some text here is not valid UTF-8.");
    }
    if (entry.device.size() != 32 || entry.number < 1 || entry.place < 1 || entry.subject.empty() ||
        entry.place > std::numeric_limits<int>::max())
        return not_an_entry(entry, "This is not an entry of a log.");
    if (!is_sound(entry))
        return not_an_entry(entry, "This entry is not what was saved: its hash does not fit.");
    return Done{};
}

std::string bytes_of(const Hash& hash) {
    return {reinterpret_cast<const char*>(hash.data()), hash.size()};
}

enum class Fits { fresh, there, disputed };

/// An entry has its place when nothing else bears its name, and its neighbours in the stream, as far as they
/// are here, are the ones it was chained to.
int place_for(sqlite3* connection, const LogEntry& entry, Fits& fits) {
    Query near(connection, "SELECT number, prev, hash FROM entry WHERE device=?1 AND number BETWEEN ?2-1 AND ?2+1");
    near.bind(1, entry.device).bind(2, entry.number);
    fits = Fits::fresh;
    while (near.row()) {
        if (near.number(0) == entry.number) {
            fits = near.text(2) == bytes_of(entry.hash) ? Fits::there : Fits::disputed;
            break;
        }
        const bool chained = near.number(0) < entry.number ? near.text(2) == bytes_of(entry.prev)
                                                           : near.text(1) == bytes_of(entry.hash);
        if (!chained)
            fits = Fits::disputed;
    }
    return near.code();
}

int take_one(sqlite3* connection, const LogEntry& entry, Arrived& arrived) {
    Fits fits{};
    int code = place_for(connection, entry, fits);
    if (code != SQLITE_OK)
        return code;
    if (fits == Fits::there) {
        ++arrived.already_there;
        return SQLITE_OK;
    }
    if (fits == Fits::fresh) {
        ++arrived.added;
        return add_entry(connection, "entry", entry);
    }
    ++arrived.disputed;
    code = add_entry(connection, "disputed", entry);
    return (code & 0xff) == SQLITE_CONSTRAINT ? SQLITE_OK : code; // came in before
}

std::string words_for(const LogEntry& entry) {
    const bool sheet = entry.kind == site_sheet_kind;
    return "Entry " + std::to_string(entry.number) + " of device " + entry.device.substr(0, 8) +
           (sheet ? " (sheet of site " + entry.subject.substr(0, 8)
                  : " (event " + std::to_string(entry.place) + ", " + entry.kind + ", of visit " +
                        entry.subject.substr(0, 8)) +
           ")";
}

/// Walks the chains; a gap matters only in the log's own streams.
int walk_chains(sqlite3* connection, const std::set<std::string>& own, LogCheck& check) {
    LogEntry before;
    Query rows(connection, select_entries("").c_str());
    while (rows.row()) {
        LogEntry entry = entry_of(rows);
        ++check.entries;
        const bool next_device = entry.device != before.device;
        check.devices += next_device;
        if (next_device)
            before = LogEntry{};
        if (!is_sound(entry)) {
            check.broken.push_back(words_for(entry) + " is not what was saved.");
        } else if (entry.number == before.number + 1) {
            if (entry.prev != before.hash)
                check.broken.push_back(words_for(entry) + " does not follow on the entry before it.");
        } else if (own.contains(entry.device)) {
            check.broken.push_back("Before entry " + std::to_string(entry.number) + " of device " +
                                   entry.device.substr(0, 8) + ", " +
                                   std::to_string(entry.number - before.number - 1) + " are missing.");
        }
        before = std::move(entry);
    }
    return rows.code();
}

int look_through(sqlite3* connection, std::vector<std::string>& broken) {
    Query rows(connection, "PRAGMA integrity_check(5)");
    while (rows.row()) {
        if (rows.text(0) != "ok")
            broken.push_back("The file itself is damaged: " + rows.text(0) + ".");
    }
    return rows.code();
}

/// What all lists hold, as one hash; zeros when a row is not even what was written.
int lists_now(sqlite3* connection, Hash& hash) {
    std::vector<log_file::ListedSite> sites;
    std::vector<VisitRow> visits;
    bool sound = true;
    int code = log_file::listed_sites(connection, sites, sound);
    if (code == SQLITE_OK)
        code = log_file::listed_visits(connection, {}, visits, sound);
    if (code != SQLITE_OK || !sound)
        return code;
    std::string bytes;
    for (const char* sql : {"SELECT id, sum FROM site ORDER BY id", "SELECT id, sum FROM visit ORDER BY id"}) {
        Query rows(connection, sql);
        while (rows.row()) {
            put(bytes, rows.text(0));
            put(bytes, rows.text(1));
        }
        if (rows.failed())
            return rows.code();
    }
    hash = hash_of_bytes(bytes);
    return SQLITE_OK;
}

} // namespace

Result<std::vector<LogEntry>> Store::entries(const std::string& subject) const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::vector<LogEntry> entries;
    Query rows(inside_->connection.get(), select_entries(subject.empty() ? "" : "WHERE subject=?1").c_str());
    if (!subject.empty())
        rows.bind(1, subject);
    if (const int code = sound_entries(rows, entries); code != SQLITE_OK)
        return inside_->fail(code);
    return entries;
}

Result<std::vector<LogEntry>> Store::entries_of_site(const std::string& site_id) const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::vector<LogEntry> entries;
    Query rows(inside_->connection.get(),
               select_entries("WHERE subject=?1 OR subject IN (SELECT id FROM visit WHERE site_id=?1)").c_str());
    rows.bind(1, site_id);
    if (const int code = sound_entries(rows, entries); code != SQLITE_OK)
        return inside_->fail(code);
    return entries;
}

Result<std::vector<Device>> Store::devices() const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::vector<Device> devices;
    Query rows(inside_->connection.get(),
               "SELECT e.device, count(*), max(e.number), EXISTS(SELECT 1 FROM own o WHERE o.device=e.device) "
               "FROM entry e GROUP BY e.device ORDER BY e.device");
    while (rows.row())
        devices.push_back({rows.text(0), rows.number(1), rows.number(2), rows.number(3) != 0});
    if (rows.failed())
        return inside_->fail(rows.code());
    return devices;
}

Result<std::string> Store::device() const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    return inside_->device;
}

Result<Arrived> Store::take_in(std::span<const LogEntry> entries) {
    for (const LogEntry& entry : entries) {
        if (const Outcome fine = acceptable(entry); !fine)
            return fine.error();
    }
    Arrived arrived;
    const Outcome done = inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        arrived = {};
        for (const LogEntry& entry : entries) {
            if (const int code = take_one(connection, entry, arrived); code != SQLITE_OK)
                return code;
        }
        return arrived.added > 0 ? log_file::rebuild(connection) : SQLITE_OK;
    });
    if (!done)
        return done.error();
    inside_->checkpoint();
    return arrived;
}

Outcome Store::save_to(const std::string& path) const {
    const Result<std::vector<LogEntry>> all = entries();
    if (!all)
        return all.error();
    Result<Store> other = Store::open(path, inside_->random);
    if (!other)
        return other.error();
    if (const Result<Arrived> arrived = other->take_in(*all); !arrived)
        return arrived.error();
    // The new log goes on where this one stopped, so this one's entries are its own.
    return other->inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        const int code = log_file::begin_stream(connection, inside_->device);
        return code == SQLITE_OK ? log_file::rebuild(connection) : code;
    });
}

Result<LogCheck> Store::check() {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    std::set<std::string> own;
    Query names(inside_->connection.get(), "SELECT device FROM own");
    while (names.row())
        own.insert(names.text(0));
    LogCheck check;
    Query disputed(inside_->connection.get(), "SELECT count(*) FROM disputed");
    check.disputed = disputed.row() ? static_cast<int>(disputed.number(0)) : 0;
    const int found = look_through(inside_->connection.get(), check.broken);
    inside_->look_thoroughly = !check.broken.empty() || (found & 0xff) == SQLITE_CORRUPT;
    if (found != SQLITE_OK)
        return inside_->fail(found);
    if (const int code = walk_chains(inside_->connection.get(), own, check); code != SQLITE_OK)
        return inside_->fail(code);
    Hash before{}, after{};
    const Outcome rebuilt = inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        int code = lists_now(connection, before);
        if (code == SQLITE_OK)
            code = log_file::rebuild(connection);
        return code == SQLITE_OK ? lists_now(connection, after) : code;
    });
    if (!rebuilt)
        return rebuilt.error();
    check.lists_differed = before != after;
    return check;
}

} // namespace beckhand

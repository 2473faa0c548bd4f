// The log between devices: entries handed out and taken in, and the check of every one of them.
#include <limits>
#include <set>

#include "engine/records/erasing.h"
#include "engine/records/event_json.h"
#include "engine/records/schema.h"
#include "engine/records/sheets.h"
#include "engine/records/store_inside.h"
#include "engine/utf8.h"

namespace beckhand {

using log_file::add_entry;
using log_file::entry_of;
using log_file::is_sound;
using log_file::Query;

namespace {

std::string select_entries(const char* where) {
    return std::string("SELECT ") + log_file::entry_columns + " FROM entry " + where + " ORDER BY device, number, hash";
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
        entry.place > std::numeric_limits<int>::max() || entry.subject.find('~') != std::string::npos)
        return not_an_entry(entry, "This is not an entry of a log.");
    if (!is_sound(entry))
        return not_an_entry(entry, "This entry is not what was saved: its hash does not fit.");
    return Done{};
}

int take_one(sqlite3* connection, const LogEntry& entry, Arrived& arrived) {
    Query same_number(connection, (std::string("SELECT ") + log_file::entry_columns +
                                   " FROM entry WHERE device=?1 AND number=?2").c_str());
    same_number.bind(1, entry.device).bind(2, entry.number);
    bool there = false, other = false;
    LogEntry kept;
    while (same_number.row()) {
        LogEntry held = entry_of(same_number);
        const bool same = held.hash == entry.hash;
        other = other || !same;
        there = there || same;
        if (same)
            kept = std::move(held);
    }
    if (same_number.failed())
        return same_number.code();
    if (!there) {
        ++arrived.added;
        arrived.disputed += other;
        return add_entry(connection, entry);
    }
    ++arrived.already_there;
    if (!join_erased(kept, entry))
        return SQLITE_OK;
    ++arrived.erased;
    return log_file::write_erased(connection, kept);
}

/// Every wish to be erased reaches every entry of the log; `mentions`: a name that goes from notes, too.
int heed_wishes(sqlite3* connection, const std::string& mentions, int& erased) {
    std::set<std::string> wished;
    Query wishes(connection, "SELECT DISTINCT subject FROM entry WHERE kind='erase_wish'");
    while (wishes.row())
        wished.insert(wishes.text(0));
    if (wishes.failed() || wished.empty())
        return wishes.code();
    // Found first and written then: a row must not change under the statement that walks over it.
    std::vector<LogEntry> changed;
    Query rows(connection, select_entries("").c_str());
    while (rows.row()) {
        LogEntry entry = entry_of(rows);
        if (!is_sound(entry))
            continue;
        const bool mentioned = erase_mention(entry, mentions);
        if (heed(entry, wished) || mentioned)
            changed.push_back(std::move(entry));
    }
    int code = rows.code();
    for (const LogEntry& entry : changed)
        code = code == SQLITE_OK ? log_file::write_erased(connection, entry) : code;
    erased += static_cast<int>(changed.size());
    return code;
}

/// A device that was copied stops using its numbers: the copy may have used them for something else.
int leave_copied_stream(sqlite3* connection, std::string& device, const std::string& fresh) {
    Query copied(connection, "SELECT 1 FROM entry WHERE device=?1 GROUP BY number HAVING count(*)>1 LIMIT 1");
    copied.bind(1, device);
    if (!copied.row())
        return copied.code();
    device = fresh;
    return log_file::begin_stream(connection, device);
}

std::string words_for(const LogEntry& entry) {
    const bool sheet = entry.kind == site_sheet_kind;
    return "Entry " + std::to_string(entry.number) + " of device " + entry.device.substr(0, 8) +
           (sheet ? " (sheet of site " + entry.subject.substr(0, 8)
                  : " (event " + std::to_string(entry.place) + ", " + entry.kind + ", of visit " +
                        entry.subject.substr(0, 8)) +
           ")";
}

/// Walks the chains; a gap matters only in the log's own streams. Entries of one number stand together.
int walk_chains(sqlite3* connection, const std::set<std::string>& own, LogCheck& check) {
    std::string device;
    std::int64_t number = 0;
    std::set<Hash> before, here{Hash{}}; // names under the number before, and under this one
    Query rows(connection, select_entries("").c_str());
    while (rows.row()) {
        const LogEntry entry = entry_of(rows);
        ++check.entries;
        if (entry.device != device) {
            ++check.devices;
            device = entry.device;
            number = 0;
            here = {Hash{}};
        }
        if (entry.number == number) {
            ++check.disputed;
        } else {
            if (own.count(device) == 1 && entry.number > number + 1) {
                check.broken.push_back("Before entry " + std::to_string(entry.number) + " of device " +
                                       device.substr(0, 8) + ", " + std::to_string(entry.number - number - 1) +
                                       " are missing.");
            }
            before = entry.number == number + 1 ? std::move(here) : std::set<Hash>{};
            here = {};
        }
        if (!is_sound(entry))
            check.broken.push_back(words_for(entry) + " is not what was saved.");
        else if (!before.empty() && before.count(entry.prev) == 0)
            check.broken.push_back(words_for(entry) + " does not follow on the entry before it.");
        number = entry.number;
        here.insert(entry.hash);
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

/// Writes the file anew, so that no free part of a page keeps what was erased. When it fails, secure_delete
/// has already done what it can, and the erasing itself stands.
template <class Inside>
void forget_old_pages(Inside& inside) {
    if (inside.ready() && inside.execute("VACUUM") == SQLITE_OK)
        inside.checkpoint();
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

namespace {

template <class Inside>
Result<std::vector<LogEntry>> entries_where(Inside& inside, const char* where, const std::string& subject) {
    if (const Outcome o = inside.ready(); !o)
        return o.error();
    std::vector<LogEntry> entries;
    Query rows(inside.connection.get(), select_entries(where).c_str());
    if (!subject.empty())
        rows.bind(1, subject);
    if (const int code = sound_entries(rows, entries); code != SQLITE_OK)
        return inside.fail(code);
    return entries;
}

} // namespace

Result<std::vector<LogEntry>> Store::entries(const std::string& subject) const {
    return entries_where(*inside_, subject.empty() ? "" : "WHERE subject=?1", subject);
}

Result<std::vector<LogEntry>> Store::entries_of_site(const std::string& site_id) const {
    return entries_where(*inside_,
                         "WHERE subject=?1 OR subject IN (SELECT subject FROM visit WHERE site_id=?1) "
                         "OR kind='erase_wish'",
                         site_id);
}

Result<std::vector<LogEntry>> Store::entries_of_visit(const std::string& visit_id) const {
    return entries_where(*inside_,
                         "WHERE subject=?1 OR subject IN (SELECT site_id FROM visit WHERE subject=?1) "
                         "OR kind='erase_wish'",
                         log_file::subject_of(visit_id));
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
    std::string device;
    const Outcome done = inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        arrived = {};
        for (const LogEntry& entry : entries) {
            if (const int code = take_one(connection, entry, arrived); code != SQLITE_OK)
                return code;
        }
        int code = heed_wishes(connection, {}, arrived.erased);
        device = inside_->device;
        if (code == SQLITE_OK && arrived.disputed > 0)
            code = leave_copied_stream(connection, device, inside_->new_device());
        const bool lists_changed = arrived.added > 0 || arrived.erased > 0; // a sheet that is erased says less
        return code == SQLITE_OK && lists_changed ? log_file::rebuild(connection) : code;
    });
    if (!done)
        return done.error();
    inside_->device = device;
    inside_->checkpoint();
    if (arrived.erased > 0)
        forget_old_pages(*inside_);
    return arrived;
}

Result<Arrived> Store::erase_person(const std::string& name, Instant at) {
    if (name.empty() || !is_utf8(name))
        return Problem{"erase", "This is not a name.", "Give the name as it stands in the log."};
    Arrived arrived;
    const Outcome done = inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        arrived = {};
        const std::string mark = person_mark(name);
        Query wished(connection, "SELECT 1 FROM entry WHERE subject=?1 AND kind='erase_wish'");
        wished.bind(1, mark);
        const bool known = wished.row();
        int code = wished.code();
        if (code == SQLITE_OK && !known) {
            LogEntry wish;
            wish.subject = mark;
            wish.place = 1;
            wish.at = at;
            wish.kind = erase_wish_kind;
            wish.json = "{}";
            code = log_file::append_entry(connection, inside_->device, wish);
            arrived.added = 1;
        }
        if (code == SQLITE_OK) {
            code = log_file::renew_sheets(connection, inside_->device, name, at, [this] { return inside_->new_device(); },
                                          arrived.added, arrived.erased);
        }
        return code == SQLITE_OK ? heed_wishes(connection, name, arrived.erased) : code;
    });
    if (!done)
        return done.error();
    inside_->checkpoint();
    forget_old_pages(*inside_);
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

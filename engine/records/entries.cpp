// Entries as rows, and the one way in which the log's own stream grows.
#include "engine/records/entries.h"

#include <algorithm>
#include <optional>
#include <span>
#include <string>

namespace beckhand::log_file {
namespace {

Hash hash_in(const Query& row, int column) {
    Hash hash{};
    const std::string bytes = row.text(column);
    if (bytes.size() == hash.size())
        std::copy(bytes.begin(), bytes.end(), hash.begin());
    return hash;
}

std::vector<Hash> hashes_in(const std::string& bytes) {
    std::vector<Hash> hashes(bytes.size() / sizeof(Hash));
    for (std::size_t i = 0; i < hashes.size(); ++i)
        std::copy_n(bytes.begin() + static_cast<std::ptrdiff_t>(i * sizeof(Hash)), sizeof(Hash), hashes[i].begin());
    return hashes;
}

std::optional<Hash> mark_in(const Query& row, int column) {
    return row.is_null(column) ? std::nullopt : std::optional<Hash>(hash_in(row, column));
}

std::span<const std::uint8_t> bytes_in(const std::string& text) {
    return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

} // namespace

LogEntry entry_of(const Query& row, int first_column) {
    int column = first_column;
    LogEntry entry;
    entry.device = row.text(column++);
    entry.number = row.number(column++);
    entry.subject = row.text(column++);
    entry.place = row.number(column++);
    entry.at.ms = row.number(column++);
    entry.kind = row.text(column++);
    entry.headline = row.text(column++);
    entry.after = hashes_in(row.text(column++));
    entry.by = row.text(column++);
    entry.by_secret = row.text(column++);
    entry.by_erased = mark_in(row, column++);
    entry.json = row.text(column++);
    entry.json_secret = row.text(column++);
    entry.json_erased = mark_in(row, column++);
    entry.prev = hash_in(row, column++);
    entry.hash = hash_in(row, column);
    return entry;
}

bool is_sound(const LogEntry& entry) {
    return entry.hash == hash_of(entry);
}

int add_entry(sqlite3* connection, const LogEntry& entry) {
    const std::string sql = std::string("INSERT INTO entry(") + entry_columns +
                            ") VALUES(?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,?13,?14,?15,?16)";
    Query insert(connection, sql.c_str());
    insert.bind(1, entry.device).bind(2, entry.number).bind(3, entry.subject).bind(4, entry.place);
    insert.bind(5, entry.at.ms).bind(6, entry.kind).bind(7, entry.headline);
    insert.bind_bytes(8, bytes_in(bytes_of(entry.after)));
    insert.bind(9, entry.by).bind_bytes(10, bytes_in(entry.by_secret)).bind(12, entry.json);
    insert.bind_bytes(13, bytes_in(entry.json_secret));
    if (entry.by_erased) // else NULL, as all that is not bound
        insert.bind_bytes(11, *entry.by_erased);
    if (entry.json_erased)
        insert.bind_bytes(14, *entry.json_erased);
    insert.bind_bytes(15, entry.prev).bind_bytes(16, entry.hash);
    return insert.run();
}

int write_erased(sqlite3* connection, const LogEntry& entry) {
    const auto write = [&](const char* sql, const Hash& mark) {
        Query update(connection, sql);
        update.bind(1, entry.device).bind(2, entry.number).bind_bytes(3, entry.hash).bind_bytes(4, mark);
        return update.run();
    };
    int code = SQLITE_OK;
    if (entry.by_erased) {
        code = write("UPDATE entry SET by_whom='', by_secret=x'', by_erased=?4 "
                     "WHERE device=?1 AND number=?2 AND hash=?3 AND by_erased IS NULL",
                     *entry.by_erased);
    }
    if (code == SQLITE_OK && entry.json_erased) {
        code = write("UPDATE entry SET json='', json_secret=x'', json_erased=?4 "
                     "WHERE device=?1 AND number=?2 AND hash=?3 AND json_erased IS NULL",
                     *entry.json_erased);
    }
    return code;
}

void draw_secrets(LogEntry& entry, const NewDevice& random) {
    const bool note = names_people(entry.kind);
    if (entry.by.empty() && !note)
        return;
    const std::string drawn = random();
    const auto secret = [&](std::string_view what) {
        return bytes_of({mark_of(what, drawn)}).substr(0, 16);
    };
    if (!entry.by.empty())
        entry.by_secret = secret("by");
    if (note)
        entry.json_secret = secret("json");
}

int sheets_of(sqlite3* connection, const std::string& site, std::vector<LogEntry>& sheets) {
    const std::string sql = std::string("SELECT ") + entry_columns +
                            " FROM entry WHERE subject=?1 AND kind='site_sheet' ORDER BY place, hash";
    Query rows(connection, sql.c_str());
    rows.bind(1, site);
    while (rows.row()) {
        LogEntry entry = entry_of(rows);
        if (is_sound(entry))
            sheets.push_back(std::move(entry));
    }
    return rows.code();
}

int tail_of(sqlite3* connection, const std::string& device, Tail& tail) {
    Query last(connection, "SELECT number, hash FROM entry WHERE device=?1 ORDER BY number DESC, hash LIMIT 1");
    last.bind(1, device);
    if (last.row()) {
        tail.number = last.number(0);
        tail.hash = hash_in(last, 1);
    }
    if (last.failed())
        return last.code();
    Query latest(connection, "SELECT latest_ms FROM stream WHERE device=?1");
    latest.bind(1, device);
    if (latest.row())
        tail.latest_ms = latest.number(0);
    return latest.code();
}

} // namespace beckhand::log_file

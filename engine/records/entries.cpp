// Entries as rows, and the one way in which the log's own stream grows.
#include "engine/records/entries.h"

#include <algorithm>
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

} // namespace

LogEntry entry_of(const Query& row, int first_column) {
    int column = first_column;
    LogEntry entry;
    entry.device = row.text(column++);
    entry.number = row.number(column++);
    entry.subject = row.text(column++);
    entry.place = row.number(column++);
    entry.at.ms = row.number(column++);
    entry.by = row.text(column++);
    entry.kind = row.text(column++);
    entry.headline = row.text(column++);
    entry.json = row.text(column++);
    entry.prev = hash_in(row, column++);
    entry.hash = hash_in(row, column);
    return entry;
}

bool is_sound(const LogEntry& entry) {
    return entry.hash == hash_of(entry);
}

int add_entry(sqlite3* connection, const char* table, const LogEntry& entry) {
    const std::string sql = std::string("INSERT INTO ") + table + "(" + entry_columns +
                            ") VALUES(?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11)";
    Query insert(connection, sql.c_str());
    insert.bind(1, entry.device).bind(2, entry.number).bind(3, entry.subject).bind(4, entry.place);
    insert.bind(5, entry.at.ms).bind(6, entry.by).bind(7, entry.kind).bind(8, entry.headline);
    insert.bind(9, entry.json).bind_bytes(10, entry.prev).bind_bytes(11, entry.hash);
    return insert.run();
}

int tail_of(sqlite3* connection, const std::string& device, Tail& tail) {
    Query last(connection, "SELECT number, hash FROM entry WHERE device=?1 ORDER BY number DESC LIMIT 1");
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

// Entries in the log's file: written, read, and the tables that lists show computed from them. Functions
// give SQLite's result, SQLITE_OK when all went well. Only the log's own files use this.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <sqlite3.h>

#include "engine/records/chain.h"
#include "engine/records/log_file.h"
#include "engine/records/store.h"

namespace beckhand::log_file {

/// Columns of `entry` in the order that entry_of and add_entry take them.
inline constexpr const char* entry_columns =
    "device, number, subject, place, at_ms, kind, headline, after, by_whom, by_secret, by_erased, json, "
    "json_secret, json_erased, prev, hash";

/// The row under a query of entry_columns, sound or not.
[[nodiscard]] LogEntry entry_of(const Query& row, int first_column = 0);
/// Whether an entry as read is the entry that was written.
[[nodiscard]] bool is_sound(const LogEntry& entry);

[[nodiscard]] int add_entry(sqlite3* connection, const LogEntry& entry);
/// Writes what was erased in an entry that the log holds; nothing else of it can change.
[[nodiscard]] int write_erased(sqlite3* connection, const LogEntry& entry);

/// Gives an entry the secrets of its name and words, drawn from `random`: 128 bits.
void draw_secrets(LogEntry& entry, const NewDevice& random);

/// The sound sheets of a site, by version.
[[nodiscard]] int sheets_of(sqlite3* connection, const std::string& site, std::vector<LogEntry>& sheets);

/// The visit that a row of the lists is a branch of: what stands before "~".
[[nodiscard]] std::string subject_of(const std::string& row_id);
/// The entries of the branch that a row of the lists shows, first to last, sound or not. The name of a visit
/// alone, or of a branch that was forked since, means the branch that was last gone on with here.
[[nodiscard]] int branch_entries(sqlite3* connection, const std::string& row_id,
                                 std::vector<LogEntry>& entries);

/// The last entry of a device's stream: its number and hash, 0 and zeros before the first.
struct Tail {
    std::int64_t number = 0;
    Hash hash{};
    std::int64_t latest_ms = 0; // latest time that any entry of the stream bears
};
[[nodiscard]] int tail_of(sqlite3* connection, const std::string& device, Tail& tail);

/// Appends to the log's own stream: numbers, chains and hashes `entry`, then updates what lists show.
[[nodiscard]] int append_entry(sqlite3* connection, const std::string& device, LogEntry& entry);

// --- what lists show: computed from the entries, and from nothing else (derived.cpp) ---

/// Drops all that is computed and computes it anew.
[[nodiscard]] int rebuild(sqlite3* connection);

struct ListedSite {
    std::string id, name, json, differences; // differences: JSON, an array of [field, value, value ...]
};
/// The lists as kept. `sound` becomes false when a row is not what was written: rebuild() then.
[[nodiscard]] int listed_sites(sqlite3* connection, std::vector<ListedSite>& sites, bool& sound);
[[nodiscard]] int listed_visits(sqlite3* connection, const std::string& site_id,
                                std::vector<VisitRow>& visits, bool& sound);
/// Own visit worked on last that is not closed; empty: none.
[[nodiscard]] int visit_to_go_on_with(sqlite3* connection, std::string& id);

} // namespace beckhand::log_file

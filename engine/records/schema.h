// The tables of the log's file: made new, or made from those of an older version. Only the log's own files
// use this.
#pragma once

#include <map>
#include <string>

#include <sqlite3.h>

#include "engine/problem.h"
#include "engine/records/chain.h"
#include "engine/records/log_file.h"

namespace beckhand::log_file {

/// Makes the tables of a new log, whose entries will be of `device`: one transaction, all or nothing.
[[nodiscard]] Outcome create_schema(sqlite3* connection, const std::string& device, const std::string& path);

/// Lets sheets and parts be erased in a log that was made before they could be.
[[nodiscard]] Outcome widen_erasing(sqlite3* connection, const std::string& path);

/// Turns a log of schema 1 into one of the present schema, its events into entries of a new device: one
/// transaction, all or nothing. Every event is counted over before the old tables go.
[[nodiscard]] Outcome migrate_schema_1(sqlite3* connection, const NewDevice& random, const std::string& path);

/// The stream that rows of schema 1 become, one behind the other; the migration and the rescue both lay it.
struct Schema1Stream {
    std::string device;
    std::int64_t number = 0;
    Hash last{};
    std::map<std::string, Hash> before{};    // the latest of each subject
};
/// Columns of a sheet of schema 1 in the order that next_of_schema_1 takes them: subject, place, at, by, kind,
/// headline, json.
inline constexpr const char* schema_1_sheet = "id, 1, changed_at_ms, '', 'site_sheet', '', json";
/// The row under a query as the stream's next entry; its columns begin at `first`.
[[nodiscard]] LogEntry next_of_schema_1(Schema1Stream& stream, const Query& row, int first, const NewDevice& random);

/// From now on the log is written under another device id, after what it holds was found to have lost a
/// piece: a number that may be in somebody's hands is never used again for something else.
[[nodiscard]] int begin_stream(sqlite3* connection, const std::string& device);

} // namespace beckhand::log_file

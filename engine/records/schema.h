// The tables of the log's file: made new, or made from those of an older version. Only the log's own files
// use this.
#pragma once

#include <string>

#include <sqlite3.h>

#include "engine/problem.h"
#include "engine/records/log_file.h"

namespace beckhand::log_file {

/// Makes the tables of a new log, whose entries will be of `device`: one transaction, all or nothing.
[[nodiscard]] Outcome create_schema(sqlite3* connection, const std::string& device, const std::string& path);

/// Turns a log of schema 1 into one of the present schema, its events into entries of a new device: one
/// transaction, all or nothing. Every event is counted over before the old tables go.
[[nodiscard]] Outcome migrate_schema_1(sqlite3* connection, const NewDevice& random, const std::string& path);

/// From now on the log is written under another device id, after what it holds was found to have lost a
/// piece: a number that may be in somebody's hands is never used again for something else.
[[nodiscard]] int begin_stream(sqlite3* connection, const std::string& device);

} // namespace beckhand::log_file

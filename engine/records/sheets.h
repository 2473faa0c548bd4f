// The sheets of a site in the log: what they say together, which one comes next, and how all that hold a
// person's name give way to one that does not. Only store*.cpp use this.
#pragma once

#include <string>

#include "engine/records/entries.h"

namespace beckhand::log_file {

/// What all sheets of the site `next.subject` say together, as JSON, and the version and the predecessors of
/// the next one. SQLite's result.
[[nodiscard]] int present_sheet(sqlite3* connection, LogEntry& next, std::string& json);

/// For every site of which a sheet holds `name` on the way there or who to call: writes a new sheet, with what
/// is counted with and without the name, and erases those that hold it. `renewed`, `erased`: how many.
[[nodiscard]] int renew_sheets(sqlite3* connection, const std::string& device, const std::string& name, Instant at,
                               const NewDevice& random, int& renewed, int& erased);

} // namespace beckhand::log_file

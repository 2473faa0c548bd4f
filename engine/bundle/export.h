// Everything of a log for people and for other programs: tables as CSV (RFC 4180) and one JSON text. Keys
// carry their unit; times are UTC.
#pragma once

#include <string>
#include <vector>

#include "engine/bundle/merge.h"

namespace beckhand::bundle {

struct ExportFile { std::string name, text; };

/// sites.csv, differences.csv, visits.csv, events.csv, everything.json. Text that a spreadsheet would take
/// for a formula gets an apostrophe before it in the CSV; the JSON has it as it is.
[[nodiscard]] std::vector<ExportFile> export_all(const LogSlice& slice);

/// "2024-05-01T12:30:05.250Z"
[[nodiscard]] std::string utc_text(Instant at);

} // namespace beckhand::bundle

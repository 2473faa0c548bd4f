// A damaged log: put aside, never deleted, and a new one made from every entry that can still be read and
// whose hash says that it is what was saved. Only the log's own files use this.
#pragma once

#include <string>

#include "engine/problem.h"
#include "engine/records/log_file.h"

namespace beckhand::log_file {

struct Rescued {
    std::string aside;       // where the damaged file is now
    std::int64_t kept = 0;   // entries that go on
    std::int64_t missing = 0; // entries known to have been there that do not
};

/// Fails, with the damaged file where it was, when the new log cannot be made.
[[nodiscard]] Result<Rescued> rescue(const std::string& path, const NewDevice& device);

/// A rescue that was cut off between its two renamings is ended.
void finish_rescue(const std::string& path);

} // namespace beckhand::log_file

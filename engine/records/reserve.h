// A file of 1 MiB beside the log that holds room on the storage: when everything else is full it goes, and
// the visit in progress can be finished. Only the log's own files use this.
#pragma once

#include <string>

namespace beckhand::log_file {

/// Sets the room aside if it is not yet. False when there is none to set aside.
bool keep_reserve(const std::string& log_path);
/// Gives the room back. False when none was set aside.
bool release_reserve(const std::string& log_path);

} // namespace beckhand::log_file

// The program's own log, for finding out what went wrong with the program: starts, ids of visits and
// records, failures. Never names, places or figures of a site. Three files of 512 KB in the data folder.
#pragma once

#include <string>
#include <string_view>

namespace beckhand {

/// Without a place to write, logging is silent: it never stops the program.
void start_logging(const std::string& folder);

void log_line(std::string_view line);
/// Written through to the disk at once.
void log_trouble(std::string_view line);

} // namespace beckhand

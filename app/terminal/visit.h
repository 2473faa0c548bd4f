// The visit in a terminal: the same program, state and log as the window, one question at a time, read
// from a stream and written to a stream.
#pragma once

#include <functional>
#include <iosfwd>
#include <string>

#include "app/app.h"
#include "app/terminal/case_file.h"

namespace beckhand {

/// Runs until the visit is closed or the person leaves; what was answered is kept either way.
/// Returns 0, or 1 when the log could not be written.
int run_terminal(App& app, std::istream& in, std::ostream& out);

/// Plays a visit by a case file through the same program and log and prints the transcript. `before` hears
/// of each event before it is said, so that a caller's clock can move on.
int play_visit(App& app, const CaseFile& file, std::ostream& out,
               const std::function<void(const Happening&)>& before = {});

} // namespace beckhand

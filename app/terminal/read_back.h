// The handing over of a site at a terminal: the one who takes it over answers three questions about its brief,
// and only then does it count as handed over.
#pragma once

#include <iosfwd>
#include <string>

#include "app/app.h"

namespace beckhand {

/// Hands the site of this id on to `to`, or goes on with a handing over that was begun. Ends where the input
/// does: what was answered is kept. Exit code: 1 when it could not be saved, 2 when nobody is named.
int run_read_back(App& app, const std::string& site_id, const std::string& to, std::istream& in, std::ostream& out);

/// Sets down that the one who took the site over says so, or that their receipt came back.
int note_received(App& app, const std::string& site_id, std::ostream& out);

} // namespace beckhand

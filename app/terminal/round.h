// A round at a terminal: what is due and what to carry, then the figures and the routine work that were done.
#pragma once

#include <iosfwd>
#include <string>

#include "app/app.h"

namespace beckhand {

/// Lists and asks at the site of this id. Each answer is saved before the next question; whoever leaves with q, or when
/// the input ends, is told what was kept. Exit code: 1 when it could not be saved.
int run_round(App& app, const std::string& site_id, std::istream& in, std::ostream& out);

} // namespace beckhand

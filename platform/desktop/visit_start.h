// How a visit at the terminal begins: going on with one that is open, or at a site that is named, chosen
// from the list, or described now.
#pragma once

#include <iosfwd>
#include <optional>
#include <string>

#include "platform/desktop/session.h"

namespace beckhand {

/// Id of the site of this name; small and large letters are the same.
[[nodiscard]] std::optional<std::string> site_named(const State& state, const std::string& name);

/// The same site whole; a Problem that lists the names there are.
[[nodiscard]] Result<SiteRow> site_called(const State& state, const std::string& name);

/// Stands the app in a visit: the open one of the site named, else a new one there. Without a name, an open
/// visit goes on (asked which where there are several), else the site is asked. Where it is said who answers, that
/// holds from here on in this visit. False when the person leaves.
[[nodiscard]] bool begin_visit(Session& session, const std::string& site_name, std::optional<Person> answers,
                               std::istream& in, std::ostream& out);

} // namespace beckhand

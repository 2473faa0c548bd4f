// Events and sites as JSON text, the form in which the log keeps them. Keys carry their unit: fall_m.
#pragma once

#include <string>
#include <string_view>

#include "engine/diagnosis/visit.h"
#include "engine/problem.h"

namespace beckhand {

/// Text that is not UTF-8 comes out with replacement characters, a figure that is not finite as null; what
/// is to be kept goes through kept_json, which refuses both.
[[nodiscard]] std::string to_json(const Site& site);
[[nodiscard]] Result<Site> site_from_json(const std::string& text);
[[nodiscard]] std::string to_json(const Happening& what);
/// Fails with a Problem on text that is not an event; an event kind of a newer program is a Problem too.
[[nodiscard]] Result<Happening> happening_from_json(const std::string& text);

/// "answered", "took_back" ...: what the JSON of the event says under "kind".
[[nodiscard]] std::string_view kind_of(const Happening& what);

/// As to_json, for keeping: every figure comes back bit for bit, or there is a Problem.
[[nodiscard]] Result<std::string> kept_json(const Site& site);
[[nodiscard]] Result<std::string> kept_json(const Happening& what);

} // namespace beckhand

// Where the log lives on this machine, and the pack's sources in a checkout.
#pragma once

#include <string>

#include "engine/problem.h"

namespace beckhand {

/// The folder given, or $XDG_DATA_HOME/beckhand, or ~/.local/share/beckhand (XDG Base Directory
/// Specification). Created when it is not there. Fails with a sentence when it cannot be.
[[nodiscard]] Result<std::string> data_folder(const std::string& given);

/// The same folder where it is there already; empty where not.
[[nodiscard]] std::string data_folder_if_there(const std::string& given);

/// Whether a file can be made in the folder: tried, for rights alone do not tell.
[[nodiscard]] bool can_write(const std::string& folder);

/// The nearest knowledge/pack: in the folder one stands in, in those above it, then in those above the
/// program itself. Empty when there is none.
[[nodiscard]] std::string pack_folder_near();

} // namespace beckhand

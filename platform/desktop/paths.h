// Where the log lives on this machine.
#pragma once

#include <string>

#include "engine/problem.h"

namespace beckhand {

/// The folder given, or $XDG_DATA_HOME/beckhand, or ~/.local/share/beckhand (XDG Base Directory
/// Specification). Created when it is not there. Fails with a sentence when it cannot be.
[[nodiscard]] Result<std::string> data_folder(const std::string& given);

} // namespace beckhand

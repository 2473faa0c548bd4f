// The numbers behind belief as they are written in TOML: the scale of the marks, and contexts.
#pragma once

#include <string>

#include "engine/diagnosis/pack.h"

namespace beckhand {

namespace toml_keys { class Keys; }

void read_scale(toml_keys::Keys& keys, Scale& scale);
[[nodiscard]] Context read_context(toml_keys::Keys& keys, const std::string& id);

} // namespace beckhand

// Files that are inside the program, so that it runs from one file: the pack, the letters, the demo.
#pragma once

#include <cstddef>
#include <span>
#include <string_view>

namespace beckhand {

[[nodiscard]] std::span<const std::byte> embedded_pack();
[[nodiscard]] std::span<const std::byte> embedded_regular(); // B612 Regular, OpenType
[[nodiscard]] std::span<const std::byte> embedded_bold();    // B612 Bold
[[nodiscard]] std::string_view embedded_demo(); // the demo scenario, TOML; empty if built without

} // namespace beckhand

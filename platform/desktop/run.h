// The app in its window until it is closed.
#pragma once

#include "app/app.h"
#include "platform/desktop/window.h"

namespace beckhand {

/// Fails with a sentence when there is no display.
[[nodiscard]] Outcome run_window(App& app, kit::Kit& kit, const WindowChoice& choice = {});

/// A kit with the letters that are inside the program.
[[nodiscard]] std::unique_ptr<kit::Kit> kit_with_letters();

} // namespace beckhand

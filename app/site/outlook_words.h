// What the virtual pump says of a site, in words for the site sheet and the terminal.
#pragma once

#include <string>
#include <vector>

#include "engine/pump/outlook.h"

namespace beckhand {

/// "3.9 L/min at 62 beats a minute", or how it comes to rest.
[[nodiscard]] std::string run_words(const PumpRun& run, Units units);

/// "With a drive pipe of 4.0 m: 2.1 L/min at 130 beats a minute, instead of 4.0 L/min at 60 beats a minute."
/// For the air vessel also how far the needle swings.
[[nodiscard]] std::string effect_words(const LimitEffect& effect, Units units);

/// The effect for this limit; null when it has none.
[[nodiscard]] const LimitEffect* effect_of(const Outlook& outlook, std::string_view limit);

/// How far the virtual pump is to be relied on here, a sentence each: how it agrees with the healthy record,
/// how many of the drawn pumps beat, why it is doubtful.
[[nodiscard]] std::vector<std::string> reliance_words(const Site& site, const Outlook& outlook, Units units);

/// Which way to turn the waste valve's nut and weight, and what that gives; a sentence each.
[[nodiscard]] std::vector<std::string> setting_words(const Outlook& outlook, Units units);

} // namespace beckhand

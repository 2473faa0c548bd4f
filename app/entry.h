// The figure being typed: what it is for, how a key changes it, and when it may be taken.
#pragma once

#include <optional>
#include <string>

#include "app/state.h"

namespace beckhand {

/// What state.entry is for: a field of the site, a figure of a round, or the measurement of the scene.
struct Wanted {
    std::string title;          // "Drive pipe: bore"
    Figure kind = Figure::length;
    double least_si = 0, most_si = 0;
    bool may_be_empty = false;  // a field of the site, or a figure of a round, may be unknown
};

/// Nothing where no entry is open, or the entry is not a figure (the drive pipe's material).
[[nodiscard]] std::optional<Wanted> wanted_of(const State& state, const Pack& pack);

/// What the keypad shows.
[[nodiscard]] kit::Typed typed_of(const Entry& entry, const Wanted& wanted, Units units);

/// The entry after a key; `accept` leaves it as it is.
[[nodiscard]] Entry with_key(Entry entry, const Press& press);

/// The figure in SI, nothing for "not known", or what is wrong with it and what would be right.
[[nodiscard]] Result<std::optional<double>> accepted(const Entry& entry, const Wanted& wanted, Units units);

} // namespace beckhand

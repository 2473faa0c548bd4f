// Faults as data: which parameters of the virtual pump a cause moves, and how far at its worst. No cause has
// code of its own; the knowledge files say it beside each cause (knowledge/WRITING.md).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "engine/problem.h"
#include "engine/pump/design.h"

namespace beckhand {

/// What severity s (0 sound .. 1 as bad as it gets) makes of a parameter that is p when sound; r is the size
/// it is measured by.
enum class Moves {
    add,     // p + s amount r
    times,   // p amount^s
    towards, // p + s (amount r - p)
    down_to, // the lesser of p and r (1 - s + s amount); p = 0 counts as no limit
};

/// `of` is a parameter's name, empty for 1, or a size of the pump: see size_names(). `times` has none,
/// `down_to` always has one.
struct FaultEffect {
    std::string parameter; // "waste_valve.debris_gap_m"
    Moves moves = Moves::times;
    double amount = 1;
    std::string of;
};

/// The words for it in TOML and SQLite: "add", "times", "towards", "down_to".
[[nodiscard]] std::string_view id_of(Moves);
[[nodiscard]] std::optional<Moves> moves_of(std::string_view);

/// Sizes of a pump beside its parameters: "drive.bore_area" and "delivery.bore_area" (m2), "drive.volume"
/// (m3), "usual_draw" (m3/s, a third of the flow with the waste valve held open). And what each is in words.
[[nodiscard]] const std::vector<std::string_view>& size_names();
[[nodiscard]] std::string_view size_words(std::string_view name);

/// What is wrong with one effect, by itself: a name that is no parameter or size (with the nearest one), an
/// amount no pump can have (times 1e-6 to 1e6, add and towards within 1000 either way, down_to 0 to 1).
[[nodiscard]] std::optional<Problem> unusable(const FaultEffect& effect);

/// Moves the design's parameters, one effect after the other; sizes are those of the design as it comes in.
/// Problem, and the design as it was, for a severity outside 0..1, an unusable effect, or a pump that cannot
/// be: a pipe without length, a vessel without air, a figure that is not finite.
[[nodiscard]] Outcome apply_effects(PumpDesign& design, std::span<const FaultEffect> effects,
                                    double severity);

} // namespace beckhand

// What changed from one pack to the next, in plain words, and how far the version has to move for it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/diagnosis/pack.h"

namespace beckhand {

/// How far a version moves: wording is the last number; causes, questions and numbers the middle one; an id that is
/// gone, or means something else, the first.
enum class Bump { none, patch, minor, major };
[[nodiscard]] std::string_view word_of(Bump bump);

struct PackChange {
    Bump due = Bump::none;
    std::string words; // "cause screen_matted: weight per 1000 74 -> 80."
};

/// Every difference but those of version, issue date and change log, in the order of the newer pack, what was removed
/// last. That a reworded answer still means the same nobody can compute; it counts as wording.
[[nodiscard]] std::vector<PackChange> changes_between(const Pack& older, const Pack& newer);

/// The largest step that any of these needs.
[[nodiscard]] Bump due_for(const std::vector<PackChange>& changes);

/// The step from one version to the other; none where it does not rise, or one of them is no version.
[[nodiscard]] Bump step_between(std::string_view older, std::string_view newer);

/// Whether the version of the newer pack follows from what changed: a sentence if it does not, else empty.
[[nodiscard]] std::string version_trouble(const Pack& older, const Pack& newer);

} // namespace beckhand

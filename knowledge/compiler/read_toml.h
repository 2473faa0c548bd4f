// The pack as people write it (knowledge/WRITING.md) turned into a Pack, with the line of everything kept
// so that the linter can point at it.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "knowledge/compiler/finding.h"

namespace beckhand {

/// One TOML file. The name without its ending is the part of the installation ("intake.toml": intake);
/// visit.toml is about the whole.
struct SourceFile {
    std::string name;
    std::string text;
};

/// A warning that is let stand, with the reason. Not part of the pack.
struct Waiver {
    std::string rule; // "unmarked_answer"
    std::string what; // "observation.drive_gate.none"
    std::string why;
    std::string path; // of the waiver itself, for its line
};

/// A pack as written: not yet checked, `pack.hash` not yet set.
struct Written {
    Pack pack;
    /// Where things stand, by path: "cause.screen_matted" -> "intake.toml:12"; also
    /// "cause.screen_matted.seen.open_flow", "cause.screen_matted.fix.steps.2",
    /// "observation.onset.answers.0".
    std::map<std::string, std::string> lines;
    std::map<std::string, std::string> was; // former name -> path of what bears it no more
    std::vector<Waiver> waived;
    std::vector<Finding> findings;          // mistakes of form; the linter adds those of meaning

    /// The line of this path, or of the nearest thing around it, or the path itself.
    [[nodiscard]] std::string where(std::string path) const;
};

/// Reads the files in this order, and what stands in each from top to bottom. Every mistake of form is a
/// finding: what is not TOML, an unknown or missing key, a value of the wrong type, a word that is not one
/// of the words allowed. Reading goes on after a mistake, so that all are told at once. Never throws.
[[nodiscard]] Written read_toml(const std::vector<SourceFile>& files);

} // namespace beckhand

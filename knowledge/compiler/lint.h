// What can be wrong with a pack that is well-formed: references to nothing, causes nobody can tell apart,
// a dangerous step without its caution, text a tired helper cannot read.
#pragma once

#include <string>
#include <vector>

#include "knowledge/compiler/finding.h"
#include "knowledge/compiler/read_toml.h"

namespace beckhand {

struct LintRules {
    /// Quantities that Bands may name (engine/diagnosis/derived.h).
    std::vector<std::string> quantities = {"fall_m",           "lift_ratio",   "water_temp_c",
                                           "drive_flow_ratio", "waste_ratio",  "beat_ratio",
                                           "yield_to_table",   "static_ratio", "running_ratio"};
};

/// All findings of meaning, in the order of the pack; a warning that is waived by name is left out, and a waiver
/// that fits no warning is an error. `written.findings` (those of form) are not repeated.
[[nodiscard]] std::vector<Finding> lint(const Written& written, const LintRules& rules = {});

/// The same for a pack that comes from no TOML; `where` then names the thing.
[[nodiscard]] std::vector<Finding> lint(const Pack& pack, const LintRules& rules = {});

/// Findings while they are gathered, with the lines to point at.
class Findings {
public:
    explicit Findings(const Written& written) : written_(written) {}
    void error(const std::string& path, const std::string& what, const std::string& todo = "") {
        found.push_back({Finding::Weight::error, written_.where(path), what, todo});
    }
    /// `about` is what a waiver names: "observation.pit_drain.no_pit".
    void warning(const std::string& rule, const std::string& about, const std::string& path, const std::string& what,
                 const std::string& todo = "") {
        found.push_back({Finding::Weight::warning, written_.where(path), what, todo, rule, about});
    }
    void note(const std::string& path, const std::string& what) {
        found.push_back({Finding::Weight::note, written_.where(path), what, ""});
    }
    std::vector<Finding> found;

private:
    const Written& written_;
};

// The parts of lint(), each in the file that its name gives.
void lint_references(const Written& written, Findings& findings);                         // lint_references
void lint_bands(const Written& written, const LintRules& rules, Findings& findings);      // lint_bands
void lint_evidence(const Written& written, Findings& findings);                           // lint_evidence
void lint_numbers(const Written& written, Findings& findings);                            // lint_numbers
void lint_clash(const Written& written, Findings& findings);                              // lint_clash
void lint_cautions(const Written& written, Findings& findings);                           // lint_cautions
void lint_pump(const Written& written, Findings& findings);                               // lint_pump
void lint_words(const Written& written, Findings& findings);                              // lint_words

} // namespace beckhand

// The lints together.
#include "knowledge/compiler/lint.h"

#include "engine/diagnosis/pack_sound.h"

namespace beckhand {

std::vector<Finding> lint(const Written& written, const LintRules& rules) {
    Findings findings(written);
    lint_references(written, rules, findings);
    lint_evidence(written, findings);
    lint_cautions(written, findings);
    lint_pump(written, findings);
    lint_words(written, findings);
    // The engine's own guard has the last word: nothing it would refuse on a phone may leave the compiler.
    if (!has_errors(findings.found) && !has_errors(written.findings)) {
        if (const std::optional<Problem> problem = unsound(written.pack)) {
            findings.error(problem->where, problem->what, problem->todo);
        }
    }
    return findings.found;
}

std::vector<Finding> lint(const Pack& pack, const LintRules& rules) {
    Written written;
    written.pack = pack;
    return lint(written, rules);
}

} // namespace beckhand

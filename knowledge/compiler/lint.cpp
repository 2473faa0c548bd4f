// The lints together.
#include "knowledge/compiler/lint.h"

#include <algorithm>

#include "engine/diagnosis/pack_sound.h"

namespace beckhand {

namespace {

void waive(const Written& written, Findings& findings) {
    std::vector<bool> used(written.waived.size(), false);
    std::erase_if(findings.found, [&](const Finding& finding) {
        bool waived = false;
        for (std::size_t i = 0; i < written.waived.size(); ++i) {
            const Waiver& waiver = written.waived[i];
            const bool fits = finding.weight == Finding::Weight::warning && waiver.rule == finding.rule &&
                              waiver.what == finding.about && !waiver.why.empty();
            used[i] = used[i] || fits;
            waived = waived || fits;
        }
        return waived;
    });
    for (std::size_t i = 0; i < written.waived.size(); ++i) {
        const Waiver& waiver = written.waived[i];
        if (waiver.why.empty()) {
            findings.error(waiver.path, "It waives \"" + waiver.rule + "\" without a reason.",
                           "Say why the warning may stand.");
        } else if (!used[i]) {
            findings.error(waiver.path,
                           "No warning \"" + waiver.rule + "\" is given for \"" + waiver.what + "\".",
                           "Take the waiver out, or write rule and name as the warning does.");
        }
    }
}

} // namespace

std::vector<Finding> lint(const Written& written, const LintRules& rules) {
    Findings findings(written);
    lint_references(written, findings);
    lint_bands(written, rules, findings);
    lint_evidence(written, findings);
    lint_cautions(written, findings);
    lint_pump(written, findings);
    lint_words(written, findings);
    lint_clash(written, findings);
    // What is counted with the engine's own numbers needs a pack that the engine can read.
    if (!has_errors(written.findings) && !unsound(written.pack)) {
        lint_numbers(written, findings);
    }
    waive(written, findings);
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

// Lints of the marks as they are written: what nobody marks, what leads to nothing, what is said to tell apart.
#include <map>
#include <set>
#include <tuple>

#include "knowledge/compiler/lint.h"

namespace beckhand {

namespace {

using MarkedAnswers = std::map<std::string, Mark>;               // answer -> mark
using MarkedObservations = std::map<std::string, MarkedAnswers>; // observation -> answers

MarkedObservations marks_of(const Cause& cause) {
    MarkedObservations marks;
    for (const Seen& seen : cause.seen) {
        marks[seen.observation].emplace(seen.answer, seen.mark);
    }
    return marks;
}

const MarkedAnswers& on(const MarkedObservations& marks, const std::string& observation) {
    static const MarkedAnswers none;
    const auto found = marks.find(observation);
    return found == marks.end() ? none : found->second;
}

void lint_unmarked(const Pack& pack, Findings& findings) {
    std::map<std::string, std::set<std::string>> marked;
    for (const Cause& cause : pack.causes) {
        for (const Seen& seen : cause.seen) {
            marked[seen.observation].insert(seen.answer);
        }
    }
    for (const Observation& observation : pack.observations) {
        const std::string path = "observation." + observation.id;
        const auto found = marked.find(observation.id);
        if (found == marked.end()) {
            findings.warning("unmarked_observation", path, path,
                             "No cause marks \"" + observation.id + "\", so asking it tells nothing.");
            continue;
        }
        for (std::size_t i = 0; i < observation.answers.size(); ++i) {
            const Answer& answer = observation.answers[i];
            if (!answer.normal && !answer.cannot && found->second.count(answer.id) == 0) {
                findings.warning("unmarked_answer", path + "." + answer.id, path + ".answers." + std::to_string(i),
                                 "No cause marks the answer \"" + observation.id + "." + answer.id + "\".");
            }
        }
    }
}

void lint_reach(const Pack& pack, Findings& findings) {
    for (const Cause& cause : pack.causes) {
        bool typical = false;
        for (const Seen& seen : cause.seen) {
            typical = typical || seen.mark == Mark::typical;
        }
        if (!typical) {
            findings.error("cause." + cause.id, "No answer is typical of it, so no answers can lead to it.",
                           "Mark what is nearly always seen as typical.");
        }
        // Whatever is wrong, some answer is given.
        for (const auto& [observation_id, answers] : marks_of(cause)) {
            const Observation* observation = find_observation(pack, observation_id);
            if (!observation) {
                continue;
            }
            std::size_t excluded = 0;
            for (const auto& [answer, mark] : answers) {
                excluded += mark == Mark::nearly_excluded ? 1 : 0;
            }
            if (excluded + 1 >= observation->answers.size()) {
                findings.error("cause." + cause.id + ".seen." + observation_id,
                               "Every answer of \"" + observation_id + "\" is nearly excluded.",
                               "Something must be seen; leave one answer unmarked.");
            }
        }
    }
}

void lint_look_alikes(const Pack& pack, Findings& findings) {
    for (std::size_t i = 0; i < pack.look_alikes.size(); ++i) {
        const Pair& pair = pack.look_alikes[i];
        const Cause* first = find_cause(pack, pair.first);
        const Cause* second = find_cause(pack, pair.second);
        const std::string path = "pack.look_alike." + std::to_string(i);
        if (first && first == second) {
            findings.error(path, "It names the same cause twice.");
        } else if (first && second && find_observation(pack, pair.splits_on) &&
                   on(marks_of(*first), pair.splits_on) == on(marks_of(*second), pair.splits_on)) {
            findings.error(path,
                           "\"" + pair.splits_on + "\" does not tell \"" + pair.first + "\" from \"" +
                               pair.second + "\": both have the same marks there.",
                           "Name an observation on which their marks differ, or mark the difference.");
        }
    }
    for (std::size_t i = 0; i < pack.chains.size(); ++i) {
        if (pack.chains[i].first == pack.chains[i].then) {
            findings.error("pack.chain." + std::to_string(i), "A fault cannot bring itself.");
        }
    }
}

// One fix id is one repair: the same causes behind it, told the same way.
void lint_shared_fixes(const Pack& pack, Findings& findings) {
    std::map<std::string, const Cause*> first_with;
    for (const Cause& cause : pack.causes) {
        const auto [known, is_new] = first_with.emplace(cause.fix.id, &cause);
        if (is_new) {
            continue;
        }
        const Fix& other = known->second->fix;
        bool same = other.steps.size() == cause.fix.steps.size();
        for (std::size_t i = 0; same && i < other.steps.size(); ++i) {
            same = other.steps[i].say == cause.fix.steps[i].say;
        }
        if (!same) {
            findings.warning("fix_differs", "cause." + cause.id + ".fix", "cause." + cause.id + ".fix",
                             "The fix \"" + cause.fix.id + "\" has other steps in \"" + known->second->id +
                                 "\".",
                             "Give the same steps, or another id.");
        }
    }
}

} // namespace

void lint_evidence(const Written& written, Findings& findings) {
    lint_unmarked(written.pack, findings);
    lint_reach(written.pack, findings);
    lint_look_alikes(written.pack, findings);
    lint_shared_fixes(written.pack, findings);
}

} // namespace beckhand

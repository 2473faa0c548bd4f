// Lints of what is impossible: pairs that point at answers and can be seen at one moment, and causes whose own marks
// say what cannot be.
#include <algorithm>
#include <map>
#include <set>

#include "engine/nearest.h"
#include "knowledge/compiler/lint.h"

namespace beckhand {

namespace {

using Names = std::vector<std::string>;
using Rows = std::map<std::string, Names>; // observation -> answers

bool contains(const Names& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

std::string named(const Pointed& what) {
    return what.observation + "." + what.answer;
}

/// What the pump must be doing for this to be said.
PumpState state_of(const Pack& pack, const Pointed& what) {
    const Observation* observation = find_observation(pack, what.observation);
    const Answer* answer = observation ? find_answer(*observation, what.answer) : nullptr;
    if (!answer) {
        return PumpState::either;
    }
    return answer->pump != PumpState::either ? answer->pump : observation->pump;
}

void look_at_side(const Pack& pack, const std::string& path, const Pointed& what, Findings& findings) {
    const Observation* observation = find_observation(pack, what.observation);
    if (!observation) {
        Names ids;
        for (const Observation& known : pack.observations) {
            ids.push_back(known.id);
        }
        findings.error(path, "There is no observation \"" + what.observation + "\".",
                       did_you_mean(what.observation, ids));
        return;
    }
    const Answer* answer = find_answer(*observation, what.answer);
    Names ids;
    for (const Answer& known : observation->answers) {
        ids.push_back(known.id);
    }
    if (!answer) {
        findings.error(path, "\"" + what.observation + "\" has no answer \"" + what.answer + "\".",
                       did_you_mean(what.answer, ids));
    } else if (answer->cannot) {
        findings.error(path, "\"" + named(what) + "\" says that nobody can tell, so it excludes nothing.");
    }
}

void look_at_pairs(const Pack& pack, Findings& findings) {
    std::set<std::set<std::string>> met;
    for (std::size_t i = 0; i < pack.impossible.size(); ++i) {
        const Impossible& pair = pack.impossible[i];
        const std::string path = "impossible." + std::to_string(i);
        look_at_side(pack, path, pair.first, findings);
        look_at_side(pack, path, pair.second, findings);
        const std::string both = "\"" + named(pair.first) + "\" and \"" + named(pair.second) + "\"";
        if (pair.first.observation == pair.second.observation) {
            findings.error(path, both + " are answers to one question, which exclude each other anyway.");
        }
        if (!met.insert({named(pair.first), named(pair.second)}).second) {
            findings.error(path, both + " are called impossible twice.");
        }
        const PumpState first = state_of(pack, pair.first), second = state_of(pack, pair.second);
        if (first != second && first != PumpState::either && second != PumpState::either) {
            findings.error(path, both + " are never seen at one moment: one is of a running pump, one of a stopped one.");
        }
        if (pair.why.empty()) {
            findings.error(path, "It does not say why " + both + " cannot both be.");
        }
        for (const std::string& source : pair.sources) {
            const bool known = std::any_of(pack.sources.begin(), pack.sources.end(),
                                           [&](const Source& s) { return s.id == source; });
            if (!known) {
                findings.error(path, "There is no source \"" + source + "\".");
            }
        }
        if (pair.sources.empty()) {
            findings.error(path, "No source is named.", "Name one; cp is common practice, mem is from memory.");
        }
    }
}

Rows typical_of(const Cause& cause) {
    Rows rows;
    for (const Seen& seen : cause.seen) {
        if (seen.mark == Mark::typical) {
            rows[seen.observation].push_back(seen.answer);
        }
    }
    return rows;
}

/// What a cause leaves out stays normal; not where it makes another answer likelier.
Rows normal_of(const Pack& pack, const Cause& cause) {
    Rows rows;
    for (const Observation& observation : pack.observations) {
        const bool otherwise = std::any_of(cause.seen.begin(), cause.seen.end(), [&](const Seen& seen) {
            return seen.observation == observation.id && (seen.mark == Mark::typical || seen.mark == Mark::likelier);
        });
        for (const Answer& answer : observation.answers) {
            if (answer.normal && !otherwise) {
                rows[observation.id].push_back(answer.id);
            }
        }
    }
    return rows;
}

const Names& on(const Rows& rows, const std::string& observation) {
    static const Names none;
    const auto found = rows.find(observation);
    return found == rows.end() ? none : found->second;
}

void look_at_cause(const Pack& pack, const Cause& cause, Findings& findings) {
    const Rows typical = typical_of(cause), normal = normal_of(pack, cause);
    const std::string path = "cause." + cause.id;
    for (const Impossible& pair : pack.impossible) {
        const bool first = contains(on(typical, pair.first.observation), pair.first.answer);
        const bool second = contains(on(typical, pair.second.observation), pair.second.answer);
        if (first && second) {
            findings.error(path + ".seen." + pair.second.observation,
                           "\"" + named(pair.first) + "\" and \"" + named(pair.second) +
                               "\" are both typical of it, and cannot both be.",
                           "Mark the weaker of the two as likelier.");
        } else if (first || second) {
            const Pointed& held = first ? pair.first : pair.second;
            const Pointed& other = first ? pair.second : pair.first;
            if (contains(on(normal, other.observation), other.answer)) {
                findings.warning("normal_clashes", path + "." + other.observation, path + ".seen." + held.observation,
                                 "\"" + named(held) + "\" is typical of it and cannot be with \"" + named(other) +
                                     "\", which it leaves normal.",
                                 "Mark what is seen of \"" + other.observation + "\" instead.");
            }
        }
    }
}

} // namespace

void lint_clash(const Written& written, Findings& findings) {
    look_at_pairs(written.pack, findings);
    for (const Cause& cause : written.pack.causes) {
        look_at_cause(written.pack, cause, findings);
    }
}

} // namespace beckhand

// Lints of form and reference: ids, what they point at, what each thing must have, and figures in range.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/diagnosis/pack_version.h"
#include "engine/nearest.h"
#include "knowledge/compiler/lint.h"

namespace beckhand {

namespace {

using Names = std::vector<std::string>;

bool contains(const Names& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

template <class Thing>
Names ids_of(const std::vector<Thing>& things) {
    Names ids;
    for (const Thing& thing : things) {
        ids.push_back(thing.id);
    }
    return ids;
}

// [a-z0-9][a-z0-9_]*; capitals (and in source tags a hyphen, point or colon) where the trade writes them:
// "Lift" is a letter of the formulas, "PC-81" a short title.
bool is_well_formed(const std::string& id, bool capitals, const std::string& also) {
    for (std::size_t i = 0; i < id.size(); ++i) {
        const char c = id[i];
        const bool plain =
            (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (capitals && c >= 'A' && c <= 'Z');
        if (!plain && (i == 0 || (c != '_' && also.find(c) == std::string::npos))) {
            return false;
        }
    }
    return !id.empty();
}

// Dates as 2026-11-25.
bool is_date(const std::string& text) {
    int year = 0, month = 0, day = 0;
    char rest = 0;
    return text.size() == 10 && std::sscanf(text.c_str(), "%4d-%2d-%2d%c", &year, &month, &day, &rest) == 3 &&
           month >= 1 && month <= 12 && day >= 1 && day <= 31;
}
class References {
public:
    References(const Written& written, Findings& findings)
        : written_(written), pack_(written.pack), findings_(findings),
          sources_(ids_of(pack_.sources)), cautions_(ids_of(pack_.cautions)),
          observations_(ids_of(pack_.observations)), measurements_(ids_of(pack_.measurements)),
          causes_(ids_of(pack_.causes)), services_(ids_of(pack_.services)) {}

    void run() {
        head();
        ids("source", sources_, true, "-.:");
        for (const Source& source : pack_.sources) {
            filled("source." + source.id, "words (text)", source.text);
        }
        ids("caution", cautions_, false, "");
        ids("observation", observations_, false, "");
        ids("measurement", measurements_, true, "");
        ids("cause", causes_, false, "");
        ids("service", services_, false, "");
        former_names();
        for (const Caution& caution : pack_.cautions) {
            cited("caution." + caution.id, caution.sources);
            for (const Pointed& on : caution.fires_on) {
                points("caution." + caution.id, on);
            }
            if (!caution.fires_on.empty() && !caution.stop) {
                findings_.error("caution." + caution.id, "It fires on an answer but does not stop the job.",
                                "Add stop = true, or leave fires_on out.");
            }
        }
        for (std::size_t i = 0; i < pack_.first_sights.size(); ++i) {
            points("pack.first_sight." + std::to_string(i), pack_.first_sights[i].means);
        }
        for (const Observation& observation : pack_.observations) {
            look_at(observation);
        }
        for (const Measurement& measurement : pack_.measurements) {
            look_at(measurement);
        }
        for (const Cause& cause : pack_.causes) {
            look_at(cause);
        }
        for (const Service& service : pack_.services) {
            look_at(service);
        }
        pairs_and_chains();
        unused();
    }

private:
    void head() {
        if (!version_of(pack_.version)) {
            findings_.error("pack", "The version \"" + pack_.version + "\" is not three numbers.",
                            "Write it as 1.0.0.");
        }
        if (!is_date(pack_.issued)) {
            findings_.error("pack", "The issue date \"" + pack_.issued + "\" is not a date.",
                            "Write it as 2026-11-25.");
        }
        changes();
        const Scale& s = pack_.scale;
        for (const double weight :
             {s.normal_base, s.other_base, s.normal_if_other_typical, s.normal_if_other_likelier, s.typical,
              s.likelier, s.unlikelier, s.nearly_excluded, s.normal_typical, s.normal_likelier,
              s.normal_nearly_excluded, s.something_else, s.chain, s.returns}) {
            if (!(weight > 0)) {
                findings_.error("pack.scale", "A weight of the scale is not above zero.",
                                "A weight of zero would exclude a cause for good.");
            }
        }
        if (!(s.typical > s.likelier && s.likelier > s.unlikelier && s.unlikelier > s.nearly_excluded)) {
            findings_.error("pack.scale", "The weights do not fall from typical to nearly_excluded.");
        }
        for (const double share : {s.slip, s.slip_helper, s.slip_newcomer, s.cannot, s.group_repeat, s.pairs}) {
            if (!(share >= 0 && share <= 1)) {
                findings_.error("pack.scale", "The slips, cannot, group_repeat and pairs must lie between 0 and 1.");
            }
        }
    }

    // Newest first, the first one this version's own.
    void changes() {
        const std::vector<Change>& changes = pack_.changes;
        if (changes.empty() || changes.front().version != pack_.version) {
            findings_.error("pack.change.0", "Its changes say nothing of version " + pack_.version + ".",
                            "Begin with a [[change]] of this version.");
        }
        for (std::size_t i = 0; i < changes.size(); ++i) {
            const std::string path = "pack.change." + std::to_string(i);
            filled(path, "words for what changed (what)", changes[i].what);
            if (!is_date(changes[i].date)) {
                findings_.error(path, "\"" + changes[i].date + "\" is not a date.", "Write it as 2026-11-25.");
            }
            const auto version = version_of(changes[i].version);
            if (!version || (i > 0 && version >= version_of(changes[i - 1].version))) {
                findings_.error(path, "The versions of the changes do not fall.", "Write the newest first.");
            }
        }
    }

    void ids(const std::string& kind, const Names& names, bool capitals, const std::string& also) {
        std::set<std::string> met;
        for (const std::string& name : names) {
            const std::string path = kind + "." + name;
            if (!met.insert(name).second) {
                findings_.error(path, "The id \"" + name + "\" is given twice.", "Rename one of the two.");
            }
            if (!is_well_formed(name, capitals, also)) {
                findings_.error(path, "\"" + name + "\" is not a well-formed id.",
                                "Use small letters, digits and _, for example screen_face.");
            }
        }
    }

    void former_names() {
        for (const auto& [name, path] : written_.was) {
            if (contains(observations_, name) || contains(causes_, name) || contains(measurements_, name) ||
                contains(cautions_, name) || contains(services_, name)) {
                findings_.error(path, "Its former name \"" + name + "\" is in use again.",
                                "A name that was given up is never used for something else.");
            }
        }
    }

    void known(const std::string& path, const std::string& kind, const Names& named, const Names& ids) {
        for (const std::string& name : named) {
            if (!contains(ids, name)) {
                findings_.error(path, "There is no " + kind + " \"" + name + "\".", did_you_mean(name, ids));
            }
        }
        const std::set<std::string> different(named.begin(), named.end());
        if (different.size() != named.size()) {
            findings_.error(path, "The same " + kind + " is named twice in one list.");
        }
    }

    void cited(const std::string& path, const Names& sources) {
        used_sources_.insert(sources.begin(), sources.end());
        if (sources.empty()) {
            findings_.error(path, "No source is named.",
                            "Name one; cp is common practice, mem is from memory.");
        }
        known(path, "source", sources, sources_);
    }

    void positive(const std::string& path, const std::string& name, double number) {
        if (!(number > 0)) {
            findings_.error(path, "Its " + name + " must be above zero.");
        }
    }

    void filled(const std::string& path, const std::string& name, const std::string& text) {
        if (text.empty()) {
            findings_.error(path, "It has no " + name + ".");
        }
    }

    void look_at(const Observation& observation) {
        const std::string path = "observation." + observation.id;
        filled(path, "question (ask)", observation.ask);
        filled(path, "way to look safely (look)", observation.look);
        positive(path, "minutes", observation.minutes);
        known(path, "caution", observation.cautions, cautions_);
        cited(path, observation.sources);
        used_cautions_.insert(observation.cautions.begin(), observation.cautions.end());
        if (!observation.group.empty()) {
            groups_[observation.group].push_back(observation.id);
        }

        const Names answers = ids_of(observation.answers);
        std::set<std::string> met;
        int cannot = 0;
        for (const Answer& answer : observation.answers) {
            if (!is_well_formed(answer.id, false, "")) {
                findings_.error(path, "\"" + answer.id + "\" is not a well-formed id of an answer.",
                                "Use small letters, digits and _.");
            }
            if (!met.insert(answer.id).second) {
                findings_.error(path, "The answer \"" + answer.id + "\" is given twice.");
            }
            if (answer.normal && answer.cannot) {
                findings_.error(path, "The answer \"" + answer.id + "\" is both normal and cannot.");
            }
            filled(path, "words for the answer " + answer.id, answer.say);
            cannot += answer.cannot ? 1 : 0;
        }
        if (cannot != 1 || !observation.answers.back().cannot) {
            findings_.error(path, "It needs exactly one `cannot` answer, as the last one.",
                            "Add { id = \"cannot_tell\", say = \"Cannot tell\", cannot = true }.");
        }
        const std::string count = "It has " + std::to_string(observation.answers.size()) + " answers.";
        const char* const wanted = "Two to eight that can be told apart, then one `cannot`.";
        if (observation.answers.size() < 3 || observation.answers.size() > 9) {
            findings_.error(path, count, wanted);
        }
    }

    void look_at(const Measurement& measurement) {
        const std::string path = "measurement." + measurement.id;
        const Names units = {"m", "m3/s", "Pa", "1/s", "degC"};
        if (!contains(units, measurement.unit)) {
            findings_.error(path, "\"" + measurement.unit + "\" is not a unit of the pack.",
                            did_you_mean(measurement.unit, units));
        }
        filled(path, "question (ask)", measurement.ask);
        filled(path, "method (how)", measurement.how);
        positive(path, "minutes", measurement.minutes);
        known(path, "caution", measurement.cautions, cautions_);
        cited(path, measurement.sources);
        used_cautions_.insert(measurement.cautions.begin(), measurement.cautions.end());
        const bool careful = measurement.careful_relative > 0 || measurement.careful_absolute > 0;
        const bool ordered = measurement.careful_relative >= 0 && measurement.careful_absolute >= 0 &&
                             measurement.careful_relative <= measurement.sloppy_relative &&
                             measurement.careful_absolute <= measurement.sloppy_absolute;
        if (!careful || !ordered) {
            findings_.error(path, "Its errors must be above zero, and sloppy no smaller than careful.");
        }
        if (!(measurement.least < measurement.most)) {
            findings_.error(path, "Its least plausible figure is not below the most plausible one.");
        }
    }

    void look_at(const Cause& cause) {
        const std::string path = "cause." + cause.id;
        filled(path, "name", cause.name);
        filled(path, "words for a helper (say)", cause.say);
        positive(path, "weight per 1000", cause.per_1000);
        cited(path, cause.sources);
        marks(path, cause);

        filled(path + ".check", "check", cause.check.say);
        filled(path + ".check", "answer to the check for yes", cause.check.yes);
        filled(path + ".check", "answer to the check for no", cause.check.no);
        positive(path + ".check", "minutes for the check", cause.check.minutes);
        known(path + ".check", "caution", cause.check.cautions, cautions_);

        if (!is_well_formed(cause.fix.id, false, "")) {
            findings_.error(path + ".fix", "\"" + cause.fix.id + "\" is not a well-formed id of a fix.",
                            "Use small letters, digits and _, for example clear_strainer.");
        }
        if (cause.fix.steps.empty()) {
            findings_.error(path + ".fix", "The fix has no steps.");
        }
        positive(path + ".fix", "minutes for the fix", cause.fix.minutes);
        known(path + ".fix", "caution", cause.fix.cautions, cautions_);
        std::set<std::string> any(cause.check.cautions.begin(), cause.check.cautions.end());
        any.insert(cause.fix.cautions.begin(), cause.fix.cautions.end());
        for (std::size_t i = 0; i < cause.fix.steps.size(); ++i) {
            const Step& step = cause.fix.steps[i];
            const std::string step_path = path + ".fix.steps." + std::to_string(i);
            filled(step_path, "words for the step", step.say);
            known(step_path, "caution", step.cautions, cautions_);
            any.insert(step.cautions.begin(), step.cautions.end());
        }
        if (cause.fix.cautions.empty()) {
            findings_.error(path + ".fix", "The fix has no caution.",
                            "Every job at a pump has one; name it in cautions of the fix.");
        }
        used_cautions_.insert(any.begin(), any.end());

        filled(path + ".proof", "look that says it worked (see)", cause.proof.see);
        known(path + ".proof", "measurement", cause.proof.measure, measurements_);
        if (cause.proof.wait_minutes < 0) {
            findings_.error(path + ".proof", "The wait before the proof is below zero.");
        }
    }

    void marks(const std::string& path, const Cause& cause) {
        std::set<std::pair<std::string, std::string>> met;
        for (const Seen& seen : cause.seen) {
            const std::string here = path + ".seen." + seen.observation;
            const Observation* observation = find_observation(pack_, seen.observation);
            if (!observation) {
                findings_.error(here, "There is no observation \"" + seen.observation + "\".",
                                did_you_mean(seen.observation, observations_));
                continue;
            }
            const Answer* answer = find_answer(*observation, seen.answer);
            if (!answer) {
                findings_.error(here, "\"" + seen.observation + "\" has no answer \"" + seen.answer + "\".",
                                did_you_mean(seen.answer, ids_of(observation->answers)));
            } else if (answer->cannot) {
                findings_.error(here,
                                "\"" + seen.answer + "\" says that nobody can tell, so it takes no mark.");
            }
            if (!met.insert({seen.observation, seen.answer}).second) {
                findings_.error(here, "\"" + seen.observation + "." + seen.answer + "\" is marked twice.");
            }
        }
    }

    void points(const std::string& path, const Pointed& at) {
        const Observation* observation = find_observation(pack_, at.observation);
        if (!observation) {
            findings_.error(path, "There is no observation \"" + at.observation + "\".",
                            did_you_mean(at.observation, observations_));
        } else if (!find_answer(*observation, at.answer)) {
            findings_.error(path, "\"" + at.observation + "\" has no answer \"" + at.answer + "\".",
                            did_you_mean(at.answer, ids_of(observation->answers)));
        }
    }

    void pairs_and_chains() {
        for (std::size_t i = 0; i < pack_.look_alikes.size(); ++i) {
            const Pair& pair = pack_.look_alikes[i];
            const std::string path = "pack.look_alike." + std::to_string(i);
            known(path, "cause", {pair.first, pair.second}, causes_);
            known(path, "observation", {pair.splits_on}, observations_);
        }
        for (const Context& context : pack_.contexts) {
            const std::string path = "context." + context.id;
            filled(path, "words (say)", context.say);
            std::vector<std::string> named;
            for (const Factor& factor : context.causes) {
                named.push_back(factor.cause);
            }
            if (!context.after.empty()) named.push_back(context.after);
            known(path, "cause", named, causes_);
            cited(path, context.sources);
        }
        for (std::size_t i = 0; i < pack_.chains.size(); ++i) {
            known("pack.chain." + std::to_string(i), "cause", {pack_.chains[i].first, pack_.chains[i].then},
                  causes_);
        }
        for (const auto& [group, members] : groups_) {
            const std::string path = "observation." + members.front();
            if (!is_well_formed(group, false, "")) {
                findings_.error(path, "\"" + group + "\" is not a well-formed name of a group.");
            }
            if (members.size() == 1) {
                findings_.warning("lone_group", "group." + group, path, "Nothing else is in the group \"" + group + "\".",
                                  "Leave the group out, or look for a slip in its name.");
            }
        }
    }

    void look_at(const Service& service) {
        const std::string path = "service." + service.id;
        filled(path, "name", service.name);
        filled(path, "part", service.part);
        filled(path, "words for what to do (say)", service.say);
        known(path, "cause", service.done_by, causes_);
        known(path, "measurement", service.measured, measurements_);
        known(path, "caution", service.cautions, cautions_);
        cited(path, service.sources);
        used_cautions_.insert(service.cautions.begin(), service.cautions.end());
    }

    void unused() {
        for (const std::string& source : sources_) {
            if (used_sources_.count(source) == 0) {
                findings_.warning("unused_source", "source." + source, "source." + source, "Nothing names the source \"" + source + "\".");
            }
        }
        for (const std::string& caution : cautions_) {
            if (used_cautions_.count(caution) == 0) {
                findings_.warning("unused_caution", "caution." + caution, "caution." + caution, "Nothing names the caution \"" + caution + "\".");
            }
        }
    }

    const Written& written_;
    const Pack& pack_;
    Findings& findings_;
    Names sources_, cautions_, observations_, measurements_, causes_, services_;
    std::set<std::string> used_sources_, used_cautions_;
    std::map<std::string, Names> groups_;
};

} // namespace

void lint_references(const Written& written, Findings& findings) {
    References(written, findings).run();
}

} // namespace beckhand

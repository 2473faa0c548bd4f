// The checks of pack_sound.h.
#include "engine/diagnosis/pack_sound.h"

#include <cmath>
#include <set>
#include <string>

#include "engine/diagnosis/pack_shape.h"
#include "engine/utf8.h"

namespace beckhand {

namespace {

// Looks at every text and number, wherever it stands.
class ValueCheck {
public:
    void field(std::string_view name, const std::string& text) {
        if (!is_plain_text(text)) {
            note(name, "holds text that is not plain UTF-8");
        }
    }
    void field(std::string_view name, double number) {
        if (!std::isfinite(number)) {
            note(name, "is not a finite number");
        }
    }
    void field(std::string_view, bool) {}
    void field(std::string_view, Place) {}
    void field(std::string_view, PumpState) {}
    void field(std::string_view, Mark) {}
    void field(std::string_view, Moves) {}

    template <class Value>
    void list(std::string_view name, const std::vector<Value>& values) {
        for (const Value& value : values) {
            field(name, value);
        }
    }
    template <class Thing>
    void rows(std::string_view table, const std::vector<Thing>& things) {
        for (const Thing& thing : things) {
            table_ = table;
            pack_shape::shape(*this, thing);
        }
    }
    template <class Thing>
    void inside(std::string_view, const Thing& thing) {
        pack_shape::shape(*this, thing);
    }

    std::optional<Problem> problem;

private:
    void note(std::string_view name, const char* what) {
        if (!problem) {
            problem = Problem{"table " + std::string(table_),
                              "A value of \"" + std::string(name) + "\" " + what + ".", ""};
        }
    }
    std::string_view table_;
};

// Says the first problem only; later ones often follow from it.
class Checker {
public:
    explicit Checker(const Pack& pack) : pack_(pack) {}
    std::optional<Problem> problem;

    void check() {
        values();
        ids("source", pack_.sources, source_ids_);
        ids("caution", pack_.cautions, caution_ids_);
        ids("observation", pack_.observations, observation_ids_);
        ids("measurement", pack_.measurements, measurement_ids_);
        ids("cause", pack_.causes, cause_ids_);
        if (pack_.observations.empty() || pack_.causes.empty()) {
            note("", "The pack has no causes or no observations.");
        }
        scale();
        for (const Observation& observation : pack_.observations) {
            check_observation(observation);
        }
        for (const Cause& cause : pack_.causes) {
            check_cause(cause);
        }
        for (const Measurement& measurement : pack_.measurements) {
            const std::string where = "measurement " + measurement.id;
            positive(where, "minutes", measurement.minutes);
            known(where, "caution", measurement.cautions, caution_ids_);
        }
        for (const Pair& pair : pack_.look_alikes) {
            known("look-alike", "cause", {pair.first, pair.second}, cause_ids_);
            known("look-alike", "observation", {pair.splits_on}, observation_ids_);
        }
        for (const Chain& chain : pack_.chains) {
            known("chain", "cause", {chain.first, chain.then}, cause_ids_);
        }
        Ids contexts;
        ids("context", pack_.contexts, contexts);
        for (const Context& context : pack_.contexts) {
            check_context(context);
        }
        Ids services;
        ids("service", pack_.services, services);
        for (const Service& service : pack_.services) {
            check_service(service);
        }
        for (const Caution& caution : pack_.cautions) {
            for (const Pointed& on : caution.fires_on) {
                points("caution " + caution.id, on);
            }
        }
        for (const FirstSight& sight : pack_.first_sights) {
            points("first sight", sight.means);
        }
        for (const Impossible& pair : pack_.impossible) {
            points("impossible", pair.first);
            points("impossible", pair.second);
            if (pair.first.observation == pair.second.observation) {
                note("impossible", "It names two answers of \"" + pair.first.observation + "\".");
            }
        }
    }

private:
    using Ids = std::set<std::string, std::less<>>;

    void note(const std::string& where, const std::string& what) {
        if (!problem) {
            problem = Problem{where, what, ""};
        }
    }

    void points(const std::string& where, const Pointed& at) {
        const Observation* observation = find_observation(pack_, at.observation);
        if (observation == nullptr || find_answer(*observation, at.answer) == nullptr) {
            note(where, "It points at \"" + at.observation + " = " + at.answer + "\", which is not there.");
        }
    }

    void values() {
        ValueCheck check;
        check.field("version", pack_.version);
        check.field("issued", pack_.issued);
        pack_shape::shape(check, pack_);
        if (check.problem && !problem) {
            problem = check.problem;
        }
    }

    template <class Thing>
    void ids(const std::string& kind, const std::vector<Thing>& things, Ids& found) {
        for (const Thing& thing : things) {
            if (thing.id.empty()) {
                note(kind, "There is one without an id.");
            }
            if (!found.insert(thing.id).second) {
                note(kind + " " + thing.id, "This id is given twice.");
            }
        }
    }

    void known(const std::string& where, const std::string& kind, const std::vector<std::string>& named,
               const Ids& ids) {
        for (const std::string& id : named) {
            if (ids.find(id) == ids.end()) {
                note(where, "It names the " + kind + " \"" + id + "\", which is not in the pack.");
            }
        }
    }

    void positive(const std::string& where, const std::string& name, double number) {
        if (!(number > 0)) {
            note(where, "Its " + name + " must be above zero.");
        }
    }

    void scale() {
        const Scale& s = pack_.scale;
        const double weights[] = {s.normal_base,
                                  s.other_base,
                                  s.normal_if_other_typical,
                                  s.normal_if_other_likelier,
                                  s.typical,
                                  s.likelier,
                                  s.unlikelier,
                                  s.nearly_excluded,
                                  s.normal_typical,
                                  s.normal_likelier,
                                  s.normal_nearly_excluded,
                                  s.something_else,
                                  s.chain,
                                  s.returns};
        for (const double weight : weights) {
            positive("scale", "weights", weight);
        }
        for (const double share : {s.slip, s.slip_helper, s.slip_newcomer, s.cannot, s.group_repeat, s.pairs}) {
            if (!(share >= 0 && share < 1)) {
                note("scale", "The slips, \"cannot\", \"group_repeat\" and \"pairs\" must lie between 0 and 1.");
            }
        }
        if (!(s.returns_days >= 0)) {
            note("scale", "The days after which a repair no longer comes back cannot be below zero.");
        }
    }

    void check_observation(const Observation& observation) {
        const std::string where = "observation " + observation.id;
        positive(where, "slip_times", observation.slip_times);
        positive(where, "minutes", observation.minutes);
        known(where, "caution", observation.cautions, caution_ids_);
        Ids answers;
        for (const Answer& answer : observation.answers) {
            if (answer.id.empty() || !answers.insert(answer.id).second) {
                note(where, "An answer has no id, or the id of another answer.");
            }
            if (answer.cannot != (&answer == &observation.answers.back())) {
                note(where, "The last answer, and no other, must be a `cannot`.");
            }
        }
        if (observation.answers.size() < 2) {
            note(where, "It has fewer than two answers.");
        }
        if (!observation.bands) {
            return;
        }
        const Bands& bands = *observation.bands;
        known(where, "answer", bands.bands, answers);
        known(where, "measurement", bands.needs, measurement_ids_);
        bool rising = true;
        for (std::size_t i = 1; i < bands.edges.size(); ++i) {
            rising = rising && bands.edges[i - 1] < bands.edges[i];
        }
        if (bands.quantity.empty() || !rising || bands.bands.size() != bands.edges.size() + 1) {
            note(where, "Its bands need a quantity, rising edges, and one answer more than edges.");
        }
    }

    // At a pump of middling size: names, amounts, and whether what comes out can still be a pump.
    void check_effects(const std::string& where, const Cause& cause) {
        if (cause.in_the_pump.empty() == cause.not_in_the_pump.empty()) {
            note(where, "It must say either what it moves in the pump, or why it moves nothing there.");
        }
        if (!(cause.severity_least >= 0 && cause.severity_least <= cause.severity_most &&
              cause.severity_most <= 1)) {
            note(where, "Its severity does not rise from a number to another between 0 and 1.");
        }
        Site site;
        site.fall = metres(2);
        site.lift = metres(14);
        site.drive_bore = millimetres(50);
        PumpDesign pump = design_for(site).value();
        if (const Outcome done = apply_effects(pump, cause.in_the_pump, 1); !done) {
            note(where, done.error().sentence());
        }
    }

    void check_context(const Context& context) {
        const std::string where = "context " + context.id;
        if (context.months.empty() && context.after.empty() && context.site.empty()) {
            note(where, "It says neither months, nor what was repaired before, nor which sites: it never holds.");
        }
        for (const double month : context.months) {
            if (!(month >= 1 && month <= 12 && month == std::floor(month))) {
                note(where, "A month is a whole number from 1 to 12.");
            }
        }
        if (context.after.empty() != !(context.within_days > 0)) {
            note(where, "\"after\" and \"within_days\" go together.");
        }
        if (!context.site.empty() && context.site != "new" && context.site != "proved") {
            note(where, "A site is \"new\" or \"proved\".");
        }
        if (!context.after.empty()) known(where, "cause", {context.after}, cause_ids_);
        for (const Factor& factor : context.causes) {
            known(where, "cause", {factor.cause}, cause_ids_);
            positive(where, "factor of " + factor.cause, factor.times);
        }
        known(where, "source", context.sources, source_ids_);
    }

    void check_service(const Service& service) {
        const std::string where = "service " + service.id;
        const bool seasonal = service.month != 0;
        if (!(service.every_months >= 0 && service.every_months <= 240) || (service.every_months == 0 && !seasonal)) {
            note(where, "It comes round neither after some months (up to 240) nor before a season.");
        }
        const bool a_month = service.month >= 1 && service.month <= 12 && service.month == std::floor(service.month);
        if ((seasonal && !a_month) || seasonal == service.before.empty()) {
            note(where, "A season has a name and a month from 1 to 12, or neither.");
        }
        known(where, "cause", service.done_by, cause_ids_);
        known(where, "measurement", service.measured, measurement_ids_);
        known(where, "caution", service.cautions, caution_ids_);
    }

    void check_cause(const Cause& cause) {
        const std::string where = "cause " + cause.id;
        positive(where, "weight per 1000", cause.per_1000);
        positive(where, "minutes for the check", cause.check.minutes);
        positive(where, "minutes for the fix", cause.fix.minutes);
        if (cause.proof.wait_minutes < 0) {
            note(where, "The time to wait before the proof cannot be below zero.");
        }
        known(where, "caution", cause.check.cautions, caution_ids_);
        known(where, "caution", cause.fix.cautions, caution_ids_);
        for (const Step& step : cause.fix.steps) {
            known(where, "caution", step.cautions, caution_ids_);
        }
        known(where, "measurement", cause.proof.measure, measurement_ids_);
        check_effects(where, cause);
        std::set<std::pair<std::string, std::string>> marked;
        for (const Seen& seen : cause.seen) {
            known(where, "observation", {seen.observation}, observation_ids_);
            const Observation* observation = find_observation(pack_, seen.observation);
            const Answer* answer = observation ? find_answer(*observation, seen.answer) : nullptr;
            if (!answer || answer->cannot) {
                note(where, "It marks \"" + seen.observation + "." + seen.answer +
                                "\", which is not an answer that carries weight.");
            }
            if (!marked.insert({seen.observation, seen.answer}).second) {
                note(where, "It marks \"" + seen.observation + "." + seen.answer + "\" twice.");
            }
        }
    }

    const Pack& pack_;
    Ids source_ids_, caution_ids_, observation_ids_, measurement_ids_, cause_ids_;
};

} // namespace

bool is_plain_text(std::string_view text) {
    for (std::size_t i = 0; i < text.size();) {
        const auto [point, bytes] = utf8_letter(text, i);
        const bool control = (point < 0x20 && point != '\n' && point != '\t') || (point >= 0x7f && point < 0xa0);
        const bool turns = (point >= 0x202a && point <= 0x202e) || (point >= 0x2066 && point <= 0x2069);
        if (bytes == 0 || control || turns) {
            return false;
        }
        i += bytes;
    }
    return true;
}

std::optional<Problem> unsound(const Pack& pack) {
    Checker checker(pack);
    checker.check();
    return checker.problem;
}

} // namespace beckhand

// The fields of a pack, told once: the tables of the file, writing, reading, the hash and the check for
// soundness all walk this. A change here changes the file: raise pack_schema with it.
//
// A walker `io` has field(name, value) for text, numbers, yes/no and enumerations; list(name, values) for
// lists of text or of numbers; rows(table, things) for things that have fields of their own; and
// inside(prefix, thing) for a part whose fields stand in the row of the whole.
#pragma once

#include <type_traits>

#include "engine/diagnosis/pack.h"

namespace beckhand::pack_shape {

template <class T, class Of>
inline constexpr bool is = std::is_same_v<std::remove_const_t<T>, Of>;

template <class Io, class T>
void shape(Io& io, T& it) {
    if constexpr (is<T, Source>) {
        io.field("id", it.id);
        io.field("text", it.text);
    } else if constexpr (is<T, Caution>) {
        io.field("id", it.id);
        io.field("title", it.title);
        io.field("say", it.say);
        io.field("defer_to", it.defer_to);
        io.field("stop", it.stop);
        io.rows("fires_on", it.fires_on);
        io.list("sources", it.sources);
    } else if constexpr (is<T, Pointed>) {
        io.field("observation", it.observation);
        io.field("answer", it.answer);
    } else if constexpr (is<T, FirstSight>) {
        io.field("say", it.say);
        io.inside("means_", it.means);
        io.field("pump", it.pump);
    } else if constexpr (is<T, Answer>) {
        io.field("id", it.id);
        io.field("say", it.say);
        io.field("normal", it.normal);
        io.field("cannot", it.cannot);
        io.field("pump", it.pump);
    } else if constexpr (is<T, Observation>) {
        io.field("id", it.id);
        io.field("part", it.part);
        io.field("evidence_group", it.group);
        io.field("ask", it.ask);
        io.field("look", it.look);
        io.field("slip", it.slip);
        io.field("why", it.why);
        io.field("minutes", it.minutes);
        io.field("pump", it.pump);
        io.field("place", it.place);
        io.field("several", it.several);
        io.field("skilled", it.skilled);
        io.field("slip_times", it.slip_times);
        // An observation that figures do not answer has no quantity.
        Bands bands = it.bands ? *it.bands : Bands{};
        io.field("quantity", bands.quantity);
        io.list("edges", bands.edges);
        io.list("bands", bands.bands);
        io.list("needs", bands.needs);
        if constexpr (!std::is_const_v<T>) {
            if (!bands.quantity.empty()) {
                it.bands = bands;
            }
        }
        io.list("tools", it.tools);
        io.list("cautions", it.cautions);
        io.rows("answer", it.answers);
        io.list("sources", it.sources);
    } else if constexpr (is<T, Measurement>) {
        io.field("id", it.id);
        io.field("name", it.name);
        io.field("unit", it.unit);
        io.field("ask", it.ask);
        io.field("how", it.how);
        io.field("pitfalls", it.pitfalls);
        io.field("minutes", it.minutes);
        io.field("pump", it.pump);
        io.field("place", it.place);
        io.field("careful_relative", it.careful_relative);
        io.field("careful_absolute", it.careful_absolute);
        io.field("sloppy_relative", it.sloppy_relative);
        io.field("sloppy_absolute", it.sloppy_absolute);
        io.field("least", it.least);
        io.field("most", it.most);
        io.list("tools", it.tools);
        io.list("cautions", it.cautions);
        io.list("sources", it.sources);
    } else if constexpr (is<T, Seen>) {
        io.field("observation", it.observation);
        io.field("answer", it.answer);
        io.field("mark", it.mark);
    } else if constexpr (is<T, Check>) {
        io.field("say", it.say);
        io.field("yes", it.yes);
        io.field("no", it.no);
        io.field("minutes", it.minutes);
        io.field("pump", it.pump);
        io.field("place", it.place);
        io.list("tools", it.tools);
        io.list("cautions", it.cautions);
    } else if constexpr (is<T, Step>) {
        io.field("say", it.say);
        io.list("cautions", it.cautions);
    } else if constexpr (is<T, Fix>) {
        io.field("id", it.id);
        io.field("minutes", it.minutes);
        io.field("pump", it.pump);
        io.field("keep", it.keep);
        io.list("tools", it.tools);
        io.list("parts", it.parts);
        io.list("cautions", it.cautions);
        io.rows("fix_step", it.steps);
    } else if constexpr (is<T, Proof>) {
        io.field("see", it.see);
        io.field("wait_minutes", it.wait_minutes);
        io.field("later", it.later);
        io.list("measure", it.measure);
    } else if constexpr (is<T, Cause>) {
        io.field("id", it.id);
        io.field("name", it.name);
        io.field("part", it.part);
        io.field("say", it.say);
        io.field("mechanism", it.mechanism);
        io.field("per_1000", it.per_1000);
        io.field("healthy", it.healthy);
        io.field("sound_pump", it.sound_pump);
        io.field("prior_reason", it.prior_reason);
        io.field("looks_like", it.looks_like);
        io.inside("check_", it.check);
        io.inside("fix_", it.fix);
        io.inside("proof_", it.proof);
        io.field("not_in_the_pump", it.not_in_the_pump);
        io.field("severity_least", it.severity_least);
        io.field("severity_most", it.severity_most);
        io.rows("seen", it.seen);
        io.rows("in_the_pump", it.in_the_pump);
        io.list("sources", it.sources);
    } else if constexpr (is<T, FaultEffect>) {
        io.field("parameter", it.parameter);
        io.field("moves", it.moves);
        io.field("amount", it.amount);
        io.field("of", it.of);
    } else if constexpr (is<T, Pair>) {
        io.field("first", it.first);
        io.field("second", it.second);
        io.field("splits_on", it.splits_on);
    } else if constexpr (is<T, Chain>) {
        io.field("first", it.first);
        io.field("brings", it.then);
    } else if constexpr (is<T, Factor>) {
        io.field("cause", it.cause);
        io.field("times", it.times);
    } else if constexpr (is<T, Context>) {
        io.field("id", it.id);
        io.field("say", it.say);
        io.list("months", it.months);
        io.field("after_cause", it.after);
        io.field("within_days", it.within_days);
        io.field("site", it.site);
        io.rows("factor", it.causes);
        io.list("sources", it.sources);
    } else if constexpr (is<T, Impossible>) {
        io.inside("first_", it.first);
        io.inside("second_", it.second);
        io.field("why", it.why);
        io.list("sources", it.sources);
    } else if constexpr (is<T, Change>) {
        io.field("version", it.version);
        io.field("date", it.date);
        io.field("what", it.what);
    } else if constexpr (is<T, Service>) {
        io.field("id", it.id);
        io.field("name", it.name);
        io.field("part", it.part);
        io.field("say", it.say);
        io.field("every_months", it.every_months);
        io.field("before_season", it.before);
        io.field("month", it.month);
        io.list("done_by", it.done_by);
        io.list("measured", it.measured);
        io.list("tools", it.tools);
        io.list("parts", it.parts);
        io.list("cautions", it.cautions);
        io.list("sources", it.sources);
    } else if constexpr (is<T, Scale>) {
        io.field("normal_base", it.normal_base);
        io.field("other_base", it.other_base);
        io.field("normal_if_other_typical", it.normal_if_other_typical);
        io.field("normal_if_other_likelier", it.normal_if_other_likelier);
        io.field("typical", it.typical);
        io.field("likelier", it.likelier);
        io.field("unlikelier", it.unlikelier);
        io.field("nearly_excluded", it.nearly_excluded);
        io.field("normal_typical", it.normal_typical);
        io.field("normal_likelier", it.normal_likelier);
        io.field("normal_nearly_excluded", it.normal_nearly_excluded);
        io.field("group_repeat", it.group_repeat);
        io.field("slip", it.slip);
        io.field("slip_helper", it.slip_helper);
        io.field("slip_newcomer", it.slip_newcomer);
        io.field("cannot", it.cannot);
        io.field("something_else", it.something_else);
        io.field("pairs", it.pairs);
        io.field("chain", it.chain);
        io.field("returns", it.returns);
        io.field("returns_days", it.returns_days);
    } else {
        static_assert(is<T, Pack>, "this type has no shape in the pack");
        std::vector<Scale> scale{it.scale};
        io.rows("scale", scale);
        if constexpr (!std::is_const_v<T>) {
            if (!scale.empty()) {
                it.scale = scale.front();
            }
        }
        io.rows("source", it.sources);
        io.rows("caution", it.cautions);
        io.rows("observation", it.observations);
        io.rows("measurement", it.measurements);
        io.rows("cause", it.causes);
        io.rows("first_sight", it.first_sights);
        io.rows("look_alike", it.look_alikes);
        io.rows("chain", it.chains);
        io.rows("context", it.contexts);
        io.rows("impossible", it.impossible);
        io.rows("change", it.changes);
        io.rows("service", it.services);
    }
}

} // namespace beckhand::pack_shape

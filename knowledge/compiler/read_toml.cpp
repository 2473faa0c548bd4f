// From TOML to a Pack: which keys each thing has, and where they go.
#include "knowledge/compiler/read_toml.h"

#include "engine/toml_ascii.h"
#include "knowledge/compiler/read_weights.h"
#include "knowledge/compiler/toml_keys.h"

namespace beckhand {

namespace {

using namespace toml_keys;

const std::vector<std::string> place_words = {"anywhere",   "pump",          "intake",
                                              "drive_line", "delivery_line", "tank"};
const std::vector<std::string> pump_words = {"either", "running", "stopped"};
const std::vector<std::string> mark_words = {"typical", "likelier", "unlikelier", "nearly_excluded"};

void read_was(Keys& keys) {
    std::vector<std::string> names;
    keys.list("was", names);
    for (const std::string& name : names) {
        keys.out().was[name] = keys.path();
    }
}

Source read_source(Keys& keys, const std::string& id) {
    Source source{id, ""};
    keys.text("text", source.text, Need::must);
    return source;
}

Pointed read_pointed(Keys& keys) {
    Pointed pointed;
    keys.text("observation", pointed.observation, Need::must);
    keys.text("answer", pointed.answer, Need::must);
    return pointed;
}

Caution read_caution(Keys& keys, const std::string& id) {
    Caution caution;
    caution.id = id;
    keys.text("title", caution.title, Need::must);
    keys.text("say", caution.say, Need::must);
    keys.text("defer_to", caution.defer_to);
    keys.flag("stop", caution.stop);
    keys.tables("fires_on", "an answer that calls for a stop", Need::may,
                [&](Keys& inner, std::size_t) { caution.fires_on.push_back(read_pointed(inner)); });
    keys.list("sources", caution.sources);
    read_was(keys);
    return caution;
}

Bands read_bands(Keys& keys) {
    Bands bands;
    keys.text("quantity", bands.quantity, Need::must);
    keys.list("edges", bands.edges, Need::must);
    keys.list("answers", bands.bands, Need::must);
    keys.list("needs", bands.needs, Need::must);
    return bands;
}

Observation read_observation(Keys& keys, const std::string& id, const std::string& part) {
    Observation observation;
    observation.id = id;
    observation.part = part;
    keys.text("group", observation.group);
    keys.text("ask", observation.ask, Need::must);
    keys.text("look", observation.look, Need::must);
    keys.text("slip", observation.slip);
    keys.text("why", observation.why);
    keys.number("minutes", observation.minutes, Need::must);
    keys.word("pump", observation.pump, &pump_state_of, pump_words);
    keys.word("place", observation.place, &place_of, place_words);
    keys.flag("several", observation.several);
    keys.flag("skilled", observation.skilled);
    keys.number("slip_times", observation.slip_times);
    keys.list("tools", observation.tools);
    keys.list("cautions", observation.cautions);
    keys.tables("answers", "an answer", Need::must, [&](Keys& inner, std::size_t) {
        Answer answer;
        inner.text("id", answer.id, Need::must);
        inner.text("say", answer.say, Need::must);
        inner.flag("normal", answer.normal);
        inner.flag("cannot", answer.cannot);
        inner.word("pump", answer.pump, &pump_state_of, pump_words, Need::may);
        observation.answers.push_back(answer);
    });
    keys.table("bands", "bands", Need::may, [&](Keys& inner) { observation.bands = read_bands(inner); });
    keys.list("sources", observation.sources);
    read_was(keys);
    return observation;
}

void read_error(Keys& keys, const char* key, double& relative, double& absolute) {
    keys.table(key, "an error of a measurement", Need::must, [&](Keys& inner) {
        inner.number("relative", relative);
        inner.number("absolute", absolute);
    });
}

Measurement read_measurement(Keys& keys, const std::string& id) {
    Measurement measurement;
    measurement.id = id;
    keys.text("name", measurement.name, Need::must);
    keys.text("unit", measurement.unit, Need::must);
    keys.text("ask", measurement.ask, Need::must);
    keys.text("how", measurement.how, Need::must);
    keys.text("pitfalls", measurement.pitfalls);
    keys.number("minutes", measurement.minutes, Need::must);
    keys.word("pump", measurement.pump, &pump_state_of, pump_words);
    keys.word("place", measurement.place, &place_of, place_words);
    keys.list("tools", measurement.tools);
    keys.list("cautions", measurement.cautions);
    read_error(keys, "careful", measurement.careful_relative, measurement.careful_absolute);
    read_error(keys, "sloppy", measurement.sloppy_relative, measurement.sloppy_absolute);
    keys.number("least", measurement.least, Need::must);
    keys.number("most", measurement.most, Need::must);
    keys.list("sources", measurement.sources);
    read_was(keys);
    return measurement;
}

void read_seen(Keys& keys, std::vector<Seen>& into) {
    keys.entries(
        "seen", [&](const std::string& observation, const toml::node& node, const std::string& line) {
            keys.out().lines[keys.path() + ".seen." + observation] = line;
            const toml::table* marks = node.as_table();
            if (!marks) {
                keys.complain(line, "\"" + observation + "\" holds " + kind_of(node) + ".",
                              "Write " + observation + " = { answer = \"mark\" }.");
                return;
            }
            for (const auto& [answer, mark_node] : in_written_order(*marks)) {
                const std::string word = mark_node->value_exact<std::string>().value_or("");
                const std::optional<Mark> mark = mark_of(word);
                if (!mark) {
                    keys.complain(line, "\"" + word + "\" is not a mark.", did_you_mean(word, mark_words));
                    continue;
                }
                into.push_back({observation, std::string(answer.str()), *mark});
            }
        });
}

// { moves = "drive.entry_k", times = 1000 }: exactly one of the four ways to move it.
FaultEffect read_effect(Keys& keys) {
    FaultEffect effect;
    keys.text("moves", effect.parameter, Need::must);
    int ways = 0;
    for (const Moves way : {Moves::add, Moves::times, Moves::towards, Moves::down_to}) {
        if (const std::optional<double> amount = keys.number_if_there(std::string(id_of(way)).c_str())) {
            effect.moves = way;
            effect.amount = *amount;
            ++ways;
        }
    }
    if (ways != 1) {
        keys.complain(keys.out().lines[keys.path()],
                      "An effect in the pump says how far in one way, not " + std::to_string(ways) + ".",
                      "Give one of add, times, towards and down_to.");
    }
    keys.text("of", effect.of);
    return effect;
}

void read_severity(Keys& keys, Cause& cause) {
    std::vector<double> range;
    keys.list("severity", range);
    if (range.size() == 2) {
        cause.severity_least = range[0];
        cause.severity_most = range[1];
    } else if (!range.empty()) {
        keys.complain(keys.out().lines[keys.path()], "The severity is not two numbers.",
                      "Write severity = [0.2, 0.9], least first.");
    }
}

Cause read_cause(Keys& keys, const std::string& id, const std::string& part) {
    Cause cause;
    cause.id = id;
    cause.part = part;
    keys.text("name", cause.name, Need::must);
    keys.text("say", cause.say, Need::must);
    keys.text("mechanism", cause.mechanism);
    keys.number("per_1000", cause.per_1000, Need::must);
    keys.flag("healthy", cause.healthy);
    keys.flag("sound_pump", cause.sound_pump);
    keys.text("prior_reason", cause.prior_reason);
    keys.text("looks_like", cause.looks_like);
    keys.list("sources", cause.sources);
    keys.tables("in_the_pump", "an effect in the pump", Need::may,
                [&](Keys& inner, std::size_t) { cause.in_the_pump.push_back(read_effect(inner)); });
    keys.text("not_in_the_pump", cause.not_in_the_pump);
    read_severity(keys, cause);
    read_seen(keys, cause.seen);
    keys.table("check", "a check", Need::must, [&](Keys& inner) {
        inner.text("say", cause.check.say, Need::must);
        inner.text("yes", cause.check.yes, Need::must);
        inner.text("no", cause.check.no, Need::must);
        inner.number("minutes", cause.check.minutes, Need::must);
        inner.word("pump", cause.check.pump, &pump_state_of, pump_words);
        inner.word("place", cause.check.place, &place_of, place_words);
        inner.list("tools", cause.check.tools);
        inner.list("cautions", cause.check.cautions);
    });
    keys.table("fix", "a fix", Need::must, [&](Keys& inner) {
        inner.text("id", cause.fix.id, Need::must);
        inner.number("minutes", cause.fix.minutes, Need::must);
        inner.word("pump", cause.fix.pump, &pump_state_of, pump_words);
        inner.list("tools", cause.fix.tools);
        inner.list("parts", cause.fix.parts);
        inner.list("cautions", cause.fix.cautions);
        inner.tables("steps", "a step", Need::must, [&](Keys& step_keys, std::size_t) {
            Step step;
            step_keys.text("say", step.say, Need::must);
            step_keys.list("cautions", step.cautions);
            cause.fix.steps.push_back(step);
        });
        inner.text("keep", cause.fix.keep);
    });
    keys.table("proof", "a proof", Need::must, [&](Keys& inner) {
        inner.text("see", cause.proof.see, Need::must);
        inner.list("measure", cause.proof.measure);
        inner.number("wait_minutes", cause.proof.wait_minutes, Need::must);
        inner.text("later", cause.proof.later);
    });
    read_was(keys);
    return cause;
}

Service read_service(Keys& keys, const std::string& id) {
    Service service;
    service.id = id;
    keys.text("name", service.name, Need::must);
    keys.text("part", service.part, Need::must);
    keys.text("say", service.say, Need::must);
    keys.number("every_months", service.every_months);
    keys.text("before", service.before);
    keys.number("month", service.month);
    keys.list("done_by", service.done_by);
    keys.list("measured", service.measured);
    keys.list("tools", service.tools);
    keys.list("parts", service.parts);
    keys.list("cautions", service.cautions);
    keys.list("sources", service.sources);
    read_was(keys);
    return service;
}

void read_head(Keys& keys, Written& out) {
    keys.text("version", out.pack.version, Need::must);
    keys.text("issued", out.pack.issued, Need::must);
    keys.tables("change", "a change", Need::may, [&](Keys& inner, std::size_t) {
        Change change;
        inner.text("version", change.version, Need::must);
        inner.text("date", change.date, Need::must);
        inner.text("what", change.what, Need::must);
        out.pack.changes.push_back(change);
    });
    keys.table("scale", "the scale", Need::may, [&](Keys& inner) { read_scale(inner, out.pack.scale); });
    keys.tables("first_sight", "a first sight", Need::may, [&](Keys& inner, std::size_t) {
        FirstSight sight;
        inner.text("say", sight.say, Need::must);
        sight.means = read_pointed(inner);
        inner.word("pump", sight.pump, &pump_state_of, pump_words, Need::may);
        out.pack.first_sights.push_back(sight);
    });
    keys.tables("look_alike", "a look-alike", Need::may, [&](Keys& inner, std::size_t) {
        Pair pair;
        inner.text("first", pair.first, Need::must);
        inner.text("second", pair.second, Need::must);
        inner.text("splits_on", pair.splits_on, Need::must);
        out.pack.look_alikes.push_back(pair);
    });
    keys.tables("chain", "a chain", Need::may, [&](Keys& inner, std::size_t) {
        Chain chain;
        inner.text("first", chain.first, Need::must);
        inner.text("then", chain.then, Need::must);
        out.pack.chains.push_back(chain);
    });
}

// An observation and one or more of its answers: each of them makes a pair of its own with each of the other side.
std::vector<Pointed> read_side(Keys& keys, const char* key) {
    std::vector<Pointed> side;
    keys.table(key, "a side of what is impossible", Need::must, [&](Keys& inner) {
        std::string observation;
        std::vector<std::string> answers;
        inner.text("observation", observation, Need::must);
        inner.list("answers", answers, Need::must);
        for (const std::string& answer : answers) {
            side.push_back({observation, answer});
        }
    });
    return side;
}

void read_impossible(Keys& keys, Written& out) {
    keys.tables("impossible", "what is impossible", Need::may, [&](Keys& inner, std::size_t) {
        const std::vector<Pointed> first = read_side(inner, "first"), second = read_side(inner, "second");
        Impossible pair;
        inner.text("why", pair.why, Need::must);
        inner.list("sources", pair.sources);
        for (const Pointed& one : first) {
            for (const Pointed& other : second) {
                pair.first = one;
                pair.second = other;
                const std::string path = "impossible." + std::to_string(out.pack.impossible.size());
                out.lines[path] = out.lines[inner.path()];
                out.pack.impossible.push_back(pair);
            }
        }
    });
}

void read_waived(Keys& keys, Written& out) {
    keys.tables("waived", "a waiver", Need::may, [&](Keys& inner, std::size_t) {
        Waiver waiver;
        inner.text("rule", waiver.rule, Need::must);
        inner.text("what", waiver.what, Need::must);
        inner.text("why", waiver.why, Need::must);
        waiver.path = inner.path();
        out.waived.push_back(waiver);
    });
}

// Every thing of a kind in one file: [kind.id] after [kind.id].
template <class Thing, class Read>
void read_all(Keys& keys, const char* kind, const std::string& thing, std::vector<Thing>& into, Read read) {
    keys.entries(kind, [&](const std::string& id, const toml::node& node, const std::string& line) {
        std::string& known_line = keys.out().lines[std::string(kind) + "." + id];
        known_line = known_line.empty() ? line : known_line + " and " + line;
        if (const toml::table* table = node.as_table()) {
            Keys inner(keys.out(), keys.file(), *table, std::string(kind) + "." + id, thing);
            into.push_back(read(inner, id));
        } else {
            keys.complain(line, "\"" + id + "\" holds " + kind_of(node) + ".",
                          "Begin it with [" + std::string(kind) + "." + id + "].");
        }
    });
}

void read_file(const SourceFile& file, Written& out) {
    const auto refuse = [&](const Problem& problem) {
        out.findings.push_back({Finding::Weight::error, problem.where, problem.what, problem.todo});
    };
    const Result<std::string> ascii = toml_ascii(file.text, file.name);
    if (!ascii) return refuse(ascii.error());
    toml::table parsed;
    try {
        parsed = toml::parse(*ascii, file.name);
    } catch (const toml::parse_error& error) {
        // toml++ throws; it goes no further than here.
        return refuse(toml_problem(file.name, error.source().begin.line, error.description()));
    }
    if (const Outcome done = write_toml_again(parsed, file.name); !done) return refuse(done.error());
    const std::string stem = file.name.substr(0, file.name.rfind('.'));
    const std::string part = stem == "visit" ? "whole" : stem;
    Keys keys(out, file.name, parsed, "pack", "the file " + file.name);
    if (stem == "pack") {
        read_head(keys, out);
    }
    read_impossible(keys, out);
    read_waived(keys, out);
    read_all(keys, "source", "a source", out.pack.sources, read_source);
    read_all(keys, "caution", "a caution", out.pack.cautions, read_caution);
    read_all(keys, "observation", "an observation", out.pack.observations,
             [&](Keys& inner, const std::string& id) { return read_observation(inner, id, part); });
    read_all(keys, "measurement", "a measurement", out.pack.measurements, read_measurement);
    read_all(keys, "service", "a service", out.pack.services, read_service);
    read_all(keys, "context", "a context", out.pack.contexts, read_context);
    read_all(keys, "cause", "a cause", out.pack.causes,
             [&](Keys& inner, const std::string& id) { return read_cause(inner, id, part); });
}

} // namespace

std::string Written::where(std::string path) const {
    const std::string whole = path;
    while (true) {
        const auto found = lines.find(path);
        if (found != lines.end()) {
            return found->second;
        }
        const std::size_t dot = path.rfind('.');
        if (dot == std::string::npos) {
            break;
        }
        path.resize(dot);
    }
    // No file known: "cause.screen_matted.fix" reads better as "cause screen_matted".
    const std::size_t dot = whole.find('.');
    return dot == std::string::npos
               ? whole
               : whole.substr(0, dot) + " " + whole.substr(dot + 1, whole.find('.', dot + 1) - dot - 1);
}

Written read_toml(const std::vector<SourceFile>& files) {
    Written out;
    bool has_head = false;
    for (const SourceFile& file : files) {
        has_head = has_head || file.name == "pack.toml";
        read_file(file, out);
    }
    if (!has_head) {
        out.findings.push_back({Finding::Weight::error, "pack.toml", "This file is missing.",
                                "It gives the pack its version and issue date."});
    }
    return out;
}

} // namespace beckhand

// The rule database ("pack") as values: what the trade knows of causes, observations, measurements, fixes
// and cautions, each with its source. Written as TOML in knowledge/pack, compiled to one SQLite file, read
// back here. Ids are stable names; texts are for a person at the creek.
//
// A pack is read once and never changed. Lists keep the order of the source files, so an index is a
// stable, fast name inside one pack; ids are the name outside it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/problem.h"
#include "engine/pump/faults.h"

namespace beckhand {

/// Where a thing is seen or done: the walk between places is part of what a step costs.
enum class Place { anywhere, pump, intake, drive_line, delivery_line, tank };
/// What the pump must be doing.
enum class PumpState { either, running, stopped };
/// How strongly a cause speaks for an answer.
enum class Mark { typical, likelier, unlikelier, nearly_excluded };

struct Source {
    std::string id;    // "VITA"
    std::string text;  // author, title, year; "common practice"; "from memory"
};

/// One answer to one observation, wherever a pack points at one.
struct Pointed { std::string observation, answer; };

struct Caution {
    std::string id;
    std::string title;     // "Stored pressure"
    std::string say;       // the caution in one or two sentences, the command first
    std::string defer_to;  // rule, licence or trade that decides; may be empty
    bool stop = false;     // stop the job before anything else is asked
    std::vector<Pointed> fires_on;  // any of these answers calls for it at once; only where `stop`
    std::vector<std::string> sources;
};

struct Answer {
    std::string id;
    std::string say;      // at most a few words, what the eye sees
    bool normal = false;  // what a healthy pump shows
    bool cannot = false;  // "cannot tell" and its like: accepted without argument, carries no weight
    PumpState pump = PumpState::either;  // what this answer says of the pump: running, stopped, or nothing
};

/// How an observation's answer follows from figures: a derived quantity cut at `edges` into `bands`.
/// bands.size() == edges.size() + 1, edges rise; band i holds values in [edges[i-1], edges[i]).
struct Bands {
    std::string quantity;              // a name known to engine/diagnosis/derived.h, "yield_to_table"
    std::vector<double> edges;
    std::vector<std::string> bands;    // answer ids
    std::vector<std::string> needs;    // measurement ids a person takes to get it
};

struct Observation {
    std::string id;
    std::string part;                  // part of the installation: intake, drive_pipe, waste_valve, ...
    std::string group;                 // observations of one group share their evidence (see belief.h)
    std::string ask;                   // one plain question
    std::string look;                  // how to look, safely
    std::string slip;                  // what people get wrong
    std::string why;                   // why this is worth looking at
    double minutes = 1;
    PumpState pump = PumpState::either;
    Place place = Place::pump;
    bool several = false;              // more than one answer may be true at once
    bool skilled = false;              // not for somebody who never saw a pump: it opens or throttles something
    double slip_times = 1;             // how much oftener than usual people answer this one wrongly
    std::vector<std::string> tools;
    std::vector<std::string> cautions;
    std::vector<Answer> answers;       // the last one is a `cannot`
    std::optional<Bands> bands;        // set where figures give the answer
    std::vector<std::string> sources;
};

/// A figure a person can take, with the error they really make (one standard deviation).
/// Values are SI, the quantity is named by `unit`: m, m3/s, Pa, 1/s, degC.
struct Measurement {
    std::string id;                    // "W"
    std::string name;                  // "Waste flow"
    std::string unit;
    std::string ask;
    std::string how;                   // the method, step by step
    std::string pitfalls;
    double minutes = 1;
    PumpState pump = PumpState::either;
    Place place = Place::pump;
    std::vector<std::string> tools;
    std::vector<std::string> cautions;
    double careful_relative = 0, careful_absolute = 0;   // the larger of both holds; absolute in `unit`
    double sloppy_relative = 0, sloppy_absolute = 0;
    double least = 0, most = 0;        // plausible range in `unit`
    std::vector<std::string> sources;
};

struct Seen {
    std::string observation;
    std::string answer;
    Mark mark = Mark::likelier;
};

struct Check {                          // the look or trial that settles a cause
    std::string say;
    std::string yes, no;                // what is seen when it is the cause, and when it is not
    double minutes = 5;
    PumpState pump = PumpState::either;
    Place place = Place::pump;
    std::vector<std::string> tools;
    std::vector<std::string> cautions;
};

struct Step {
    std::string say;                    // verb first, one instruction
    std::vector<std::string> cautions;  // shown above this step
};

struct Fix {
    std::string id;                     // causes with the same fix id share their repair
    double minutes = 20;
    PumpState pump = PumpState::stopped;
    std::vector<std::string> tools, parts;
    std::vector<std::string> cautions;  // shown before the first step
    std::vector<Step> steps;
    std::string keep;                   // prevention
};

struct Proof {
    std::string see;                    // a yes-or-no look that says it worked
    std::vector<std::string> measure;   // measurement ids, the deciding one first; may be empty
    double wait_minutes = 0;            // running time before measuring
    std::string later;                  // what to look at again, and when
};

struct Cause {
    std::string id;
    std::string name;
    std::string part;
    std::string say;                    // what is going on, in words a helper understands
    std::string mechanism;
    double per_1000 = 1;                // weight per 1000 call-outs
    bool healthy = false;               // nothing is wrong: never there together with another cause
    bool sound_pump = false;            // the pump gives what it should: the trouble, if any, is with the use or the tank
    std::string prior_reason;
    std::string looks_like;             // what is seen, for the reader of the log
    std::vector<Seen> seen;
    Check check;
    Fix fix;
    Proof proof;
    std::vector<FaultEffect> in_the_pump;   // what it moves in the virtual pump; or else
    std::string not_in_the_pump;            // why the pump itself works as it should
    double severity_least = 0.2, severity_most = 0.9;  // how bad it is when somebody is called, 0 to 1
    std::vector<std::string> sources;
};

/// Weights behind the marks, kept in the pack so that a visit replays under the numbers that decided it.
struct Scale {
    double normal_base = 8, other_base = 1;
    double normal_if_other_typical = 1, normal_if_other_likelier = 4;
    double typical = 8, likelier = 3, unlikelier = 0.4, nearly_excluded = 0.08;
    double normal_typical = 16, normal_likelier = 10, normal_nearly_excluded = 0.15;
    double group_repeat = 0.5;   // share of its weight that a further answer of the same group keeps
    double slip = 0.05;          // share of wrong answers by a keeper, who knows the pump
    double slip_helper = 0.08;   // by a helper who was shown
    double slip_newcomer = 0.15; // by somebody who never saw one
    double cannot = 0.10;        // share of "cannot tell"
    double something_else = 30;  // weight per 1000 of "none of the known causes"
    double pairs = 0.10;         // share of visits with two causes at once
    double chain = 20;           // how much likelier a pair is where one cause brings the other
    double returns = 3;          // how much likelier the cause of the last repair is within `returns_days`
    double returns_days = 60;
};

/// What people say they see when they arrive, before anything is asked: told, not asked.
struct FirstSight {
    std::string say;         // "The valve chatters fast"
    Pointed means;
    PumpState pump = PumpState::either;  // what it says of the pump beside its answer
};

struct Factor { std::string cause; double times = 1; };  // how much likelier than usual

struct Pair { std::string first, second, splits_on; }; // look-alikes and what tells them apart
struct Chain { std::string first, then; };             // one fault that usually brings another

/// Makes causes likelier or less likely where something is known before the first question. All that is set
/// must hold; one that sets nothing never does.
struct Context {
    std::string id;
    std::string say;                   // "In leaf-fall", as a reason to be shown
    std::vector<double> months;        // 1 to 12, north of the equator
    std::string after;                 // a cause whose repair was proved at this site ...
    double within_days = 0;            // ... not longer ago than this
    std::string site;                  // "new": no healthy record and no earlier visit; "proved": with a record
    std::vector<Factor> causes;
    std::vector<std::string> sources;
};

/// Two answers that cannot both be true of one moment, whatever is wrong with the pump.
struct Impossible {
    Pointed first, second;
    std::string why;         // in words for a person: "A shut valve lets no water through."
    std::vector<std::string> sources;
};

/// One version of the pack, and what it brought.
struct Change { std::string version, date, what; };

/// Routine work that keeps a pump from stopping. Due `every_months` after it was last done, or once a year
/// before a season, or both (whichever comes first).
struct Service {
    std::string id;
    std::string name;              // "Renew the waste valve rubber"
    std::string part;
    std::string say;               // what to do, verb first
    double every_months = 0;       // 0: by the season alone
    std::string before;            // "leaf-fall"; empty: no season
    double month = 0;              // 1 to 12, north of the equator: due on its first day; 0 without a season
    std::vector<std::string> done_by;   // causes whose repair does the same work
    std::vector<std::string> measured;  // measurements that, all taken, are this service
    std::vector<std::string> tools, parts;
    std::vector<std::string> cautions;
    std::vector<std::string> sources;
};

struct Pack {
    std::string version;   // semantic: 1.0.0
    std::string hash;      // over the content, hex
    std::string issued;    // date, 2026-11-25
    Scale scale;
    std::vector<Source> sources;
    std::vector<Caution> cautions;
    std::vector<Observation> observations;
    std::vector<Measurement> measurements;
    std::vector<Cause> causes;
    std::vector<FirstSight> first_sights;
    std::vector<Pair> look_alikes;
    std::vector<Chain> chains;
    std::vector<Context> contexts;
    std::vector<Impossible> impossible;
    std::vector<Change> changes;   // newest first
    std::vector<Service> services;
};

// Look-ups by id. Null when the pack has no such thing.
[[nodiscard]] const Observation* find_observation(const Pack&, std::string_view id);
[[nodiscard]] const Measurement* find_measurement(const Pack&, std::string_view id);
[[nodiscard]] const Cause* find_cause(const Pack&, std::string_view id);
[[nodiscard]] const Caution* find_caution(const Pack&, std::string_view id);
[[nodiscard]] const Service* find_service(const Pack&, std::string_view id);
[[nodiscard]] const Answer* find_answer(const Observation&, std::string_view id);

/// Where a thing that was found stands in its list.
template <class Thing>
[[nodiscard]] std::size_t index_of(const std::vector<Thing>& list, const Thing* found) {
    return static_cast<std::size_t>(found - list.data());
}

/// The words used in TOML, SQLite and JSON for the enumerations.
[[nodiscard]] std::string_view id_of(Place);
[[nodiscard]] std::string_view id_of(PumpState);
[[nodiscard]] std::string_view id_of(Mark);
[[nodiscard]] std::optional<Place> place_of(std::string_view);
[[nodiscard]] std::optional<PumpState> pump_state_of(std::string_view);
[[nodiscard]] std::optional<Mark> mark_of(std::string_view);

} // namespace beckhand

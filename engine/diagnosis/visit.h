// A visit is a list of events; everything else is computed from it, so that undo, resume and replay are
// the same code. Events are only ever appended: taking something back is an event too.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "engine/hydraulics/site.h"

namespace beckhand {

/// Milliseconds since 1970, UTC. Given by the platform; the engine has no clock of its own.
struct Instant {
    std::int64_t ms = 0;
    friend constexpr auto operator<=>(Instant, Instant) = default;
};

enum class Care { careful, sloppy };                        // how a figure was taken
enum class CheckResult { yes, no, could_not };              // of a cause's deciding check
enum class Verdict { proved, better, not_it, not_proved };  // of a fix; not_proved: nothing tells yet
enum class Person { keeper, helper, newcomer };                 // who answers: knows the pump, was shown, never saw one
enum class Aside { doubted, not_now };                      // why a finding is not acted on
enum class Closing { proved, handed_on, called_help, left_as_is };

/// A repair of an earlier visit that was proved.
struct PastRepair { std::string cause; double days = 0; };   // ago

// What can happen in a visit, in the order it usually does.
struct Opened {                     // first event of every visit
    std::string site_id;
    Site site;                      // as known at the time
    std::string pack_version, pack_hash;
};
struct Answered {                   // an observation; `told` before it was asked
    std::string observation, answer;
    bool told = false;
};
struct Measured {                   // a figure, SI; as found, or as proof when a fix is under way
    std::string measurement;
    double value_si = 0;
    Care care = Care::careful;
    double error_si = 0;            // one standard deviation, where the way of measuring is coarser than the pack
                                    // takes for granted; 0: as the pack says for this care
};
struct NotMeasured { std::string measurement; };            // asked for, and could not be taken
/// The person turns to this cause's check and fix. Said again after a check that could not be made: repair
/// it all the same.
struct FixChosen { std::string cause; };
struct Checked { std::string cause; CheckResult result = CheckResult::could_not; };
struct StepTicked { std::string cause; int step = 0; bool done = true; };  // done == false: skipped
/// All steps gone through; the proof comes next. Of a repair of which no figure was
/// taken: prove it now.
struct FixFinished { std::string cause; };
struct ProofSeen { std::string cause; bool yes = false; };  // the look that goes with the proof
struct ProofNotSeen { std::string cause; };                 // could not look
struct Judged { std::string cause; Verdict verdict = Verdict::not_it; };   // what the figures said, as shown
struct Noted { std::string text; };
struct Closed { Closing how = Closing::left_as_is; };
struct TookBack { int event = 0; };                         // number of the event taken back
struct Began {};                                            // first sights are told, asking begins
struct Heeded { std::string caution; };                     // a stop rule was read and followed
struct SetAside { std::string cause; Aside why = Aside::not_now; };        // not this one, or not today
struct AnsweringAs { Person person = Person::keeper; };           // who answers from here on
struct Recalled {                   // what the log knew when the visit began
    std::vector<PastRepair> past;              // proved at this site, latest first
    std::map<std::string, double> learned;     // proved repairs by cause in this log, where it may learn from them
};
struct SafeNow { std::string caution; };                    // followed, and the place is safe to be at again
struct Offered { std::string to; };                         // the site is handed on: to this person, with a brief
struct SaidBack { std::string topic; bool right = false; }; // the receiver answered a question about the brief
struct Received { std::string by; };                        // they have it: their own word, or their receipt came back
struct Serviced { std::string service; };                   // routine work of the pack was done
/// So many of a part were used up, besides those said before: one of a fix's parts, or in free words.
struct PartUsed { std::string part; int count = 1; };

using HappeningKinds = std::variant<Opened, Answered, Measured, NotMeasured, FixChosen, Checked, StepTicked,
                                    FixFinished, ProofSeen, ProofNotSeen, Judged, Noted, Closed, TookBack, Began,
                                    Heeded, SetAside, SafeNow, Offered, SaidBack, Received, Serviced, PartUsed,
                                    AnsweringAs, Recalled>;

/// One of them. How it is copied and destroyed is compiled once, in happening.cpp: with so many kinds that takes seconds.
struct Happening : HappeningKinds {
    using HappeningKinds::variant;
    Happening();
    Happening(const Happening& other);
    Happening(Happening&& other) noexcept;
    Happening& operator=(const Happening& other);
    Happening& operator=(Happening&& other) noexcept;
    ~Happening();
};

struct Event {
    int number = 0;      // 1, 2, 3 ... within the visit
    Instant at;
    std::string by;      // a role or initials
    Happening what;
};

/// One turn at a fix: from choosing the cause to the verdict.
struct Attempt {
    std::string cause;
    std::optional<CheckResult> check;
    std::map<int, bool> steps;                       // step index -> done (false: skipped)
    bool finished = false;                           // FixFinished seen: measuring for the proof
    std::map<std::string, Measured> proof;           // re-measured, by measurement id
    std::map<std::string, bool> not_measured;        // asked again and could not be taken
    std::optional<bool> seen;
    bool could_not_see = false;
    std::optional<Verdict> verdict;
    bool left = false;                               // another cause was turned to before any verdict
    bool unchecked = false;                          // to be repaired though the check could not be made
    bool again = false;                              // opened once more, for the proof alone
    int judged = 0;                                  // number of the event that brought the verdict
    int proof_at = 0;                                // number of the latest figure of the proof
    [[nodiscard]] bool open() const;                 // still being worked on
    [[nodiscard]] bool repaired() const;             // gone through, and not every step of it skipped
};

/// A finding that the person did not want to act on, and how much had been asked by then.
struct PutAside {
    Aside why = Aside::not_now;
    int asked = 0;
};

/// What the receiver of a site says back before it counts as handed over, in the order asked.
inline constexpr std::array<std::string_view, 3> say_back_topics{"danger", "sound", "next"};

/// The latest handing over of the site with this visit. No receipt is no error: it is only shown as missing.
struct Handover {
    std::string from, to;                            // who offered it, and to whom
    Instant offered_at, read_back_at, received_at;
    std::vector<SaidBack> said_back;                 // in the order answered
    std::string received_by;                         // empty: no word of it yet
    [[nodiscard]] bool read_back() const;            // each topic was answered right
    [[nodiscard]] bool received() const { return !received_by.empty(); }
    /// The topic to ask about now: those never asked first, then those answered wrong, longest ago first;
    /// empty when all were answered right.
    [[nodiscard]] std::string_view next_topic() const;
};

/// The fold of a visit's events: what holds now.
struct Visit {
    std::string site_id;
    Site site;
    std::string pack_version, pack_hash;
    Instant opened_at;
    std::vector<Answered> answers;                   // in the order given, without those taken back
    std::vector<Answered> told;                      // all that was told on arrival, several to one observation
    std::map<std::string, int> answered_at;          // number of the event, by observation
    std::map<std::string, int> confirmed_at;         // where that event gave the standing answer once more
    std::set<std::string> looked_again;              // observations whose standing answer is not the first one given
    std::map<std::string, Measured> as_found;        // figures that are no part of a proof
    std::map<std::string, int> measured_at;          // number of the event, by measurement
    std::map<std::string, bool> not_measured;
    std::vector<Attempt> attempts;
    Person person = Person::keeper;                        // who answers now
    std::map<std::string, Person> answered_by;         // by observation, where it was no keeper
    std::vector<PastRepair> past;                    // as at the opening
    std::map<std::string, double> learned;
    std::vector<std::string> notes;
    std::vector<std::string> serviced;               // services done at this visit, each once
    std::map<std::string, int> parts_used;           // how many, by part
    bool began = false;                              // asking has begun
    std::vector<std::string> heeded;                 // cautions of stop rules that were followed
    std::vector<std::string> kept_from;              // those of them whose place was not called safe since
    std::map<std::string, PutAside> aside;           // by cause
    int asked_again = 0;                             // questions and figures gone through anew after a repair
    std::optional<Closing> closed;
    std::optional<Handover> handover;
    std::vector<int> undoable;                       // numbers of live events that `back` may take, oldest first
    int next_number = 1;

    [[nodiscard]] const Answered* answer_to(std::string_view observation) const;
    [[nodiscard]] const Attempt* current_attempt() const;   // the open one, if any
    /// The latest turn at this cause where it was repaired and no figure was taken since.
    [[nodiscard]] const Attempt* unproved(std::string_view cause) const;
};

/// Questions and figures asked so far, "cannot tell" included; what was told before asking is not counted.
[[nodiscard]] int steps_asked(const Visit& visit);

/// The event's number in answered_at or measured_at; 0, before all others, for what was never said.
[[nodiscard]] int number_of(const std::map<std::string, int>& numbers, const std::string& id);

/// The first event of a visit. Of the site's sheet it takes the name and the figures; the way there and who to
/// call stand in the sheet alone, where a person's name can be erased.
[[nodiscard]] Opened opening_of(std::string site_id, Site site, std::string pack_version, std::string pack_hash);

/// No part is used up more often than this at a visit: what says so is a slip, and is not counted.
inline constexpr int most_parts_used = 1000;

/// Folds events into the visit, by their numbers and not by their place in the list: gaps are fine, and of
/// two events with one number the first in the list holds. What has no meaning where it stands (a step of
/// a cause nobody turned to) is ignored rather than trusted: any list gives a Visit, never a crash.
[[nodiscard]] Visit fold(std::span<const Event> events);

/// The event that undoes the latest undoable one; none at the very start.
[[nodiscard]] std::optional<TookBack> take_back(const Visit& visit);

} // namespace beckhand

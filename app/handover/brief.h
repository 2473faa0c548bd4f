// The brief for a less experienced helper: what a person must know before walking to this pump alone, made
// from the site's own record and from nothing else. Plain values; the screen, the terminal and the paper show
// the same ones. Known is what was measured, seen or proved, with its date and by whom; the rest is guessed.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/figures.h"
#include "app/visit/scene.h"

namespace beckhand {

/// How far a line is to be trusted. A rule is neither known nor guessed: it is to be followed.
enum class Ground { rule, known, guessed };
[[nodiscard]] std::string_view word_of(Ground ground);   // "", "Known", "Guess"

struct BriefLine {
    std::string text;
    Ground ground = Ground::rule;
    std::string from;      // known: "measured 25 Nov 2026, keeper"; guessed: what it is guessed from
};

struct BriefCaution {
    std::string id, title, say, defer_to;
    bool stop = false;
    bool holds_now = false;   // told or followed in the visit that is open
};

struct BriefSection {
    std::string id;        // "way", "stands", "leave", "call", "run", "known", "guessed"
    std::string heading;
    std::vector<BriefLine> lines;
};

/// What one outcome of the next check would mean. `stop`: it calls for a stop rule.
struct BriefMeaning {
    std::string result, means;
    bool stop = false;
};

struct NextCheck {
    std::string what;                     // one look, trial or figure
    std::string how, why;
    std::vector<std::string> tools;
    std::vector<std::string> cautions;    // ids
    std::vector<BriefMeaning> results;    // yes, no, and last what to do when it cannot be done
    std::string right;                    // what "put right" looks like; may be empty
};

struct Brief {
    std::string site, made_on, by, pack_version, call;
    std::vector<BriefCaution> cautions;   // stop rules first; above everything else, wherever it is shown
    NextCheck next;
    std::vector<BriefSection> sections;   // in the order to read them
    /// How it should run in one figure, the one that is easiest to take: for the read-back.
    struct Yardstick {
        std::string name;                 // "Beat"
        Figure kind = Figure::beat;
        double least_si = 0, most_si = 0;
    };
    std::optional<Yardstick> yardstick;
    Units units = Units::metric;
    [[nodiscard]] const BriefSection* section(std::string_view id) const;
};

/// All that a brief is made from. `visits` are those of the site, newest first; the open one may be among them.
struct BriefSource {
    Site site;
    std::vector<std::vector<Event>> visits;
    std::optional<Scene> open;            // of the visit that is open, or of the latest one where that put nothing right
    std::vector<Event> open_events;       // without its end
    std::optional<Closing> ended;         // the latter: how it ended
    Expectation expected;                 // of the site
    Units units = Units::metric;
    MinutesAhead minutes_ahead{};
    Instant now;
    std::string by;                       // who hands on
};

[[nodiscard]] Brief brief_of(const Pack& pack, const Model& model, const BriefSource& source);

// --- parts of it, each in a file of its own ---

/// The next check of the visit that is open and what each result would mean; without one the routine look.
[[nodiscard]] NextCheck next_check(const Pack& pack, const Model& model, const BriefSource& source);

/// The usual cautions, those of the next check and of its repair, and every stop rule: stop rules first, and of
/// these the ones that hold now.
[[nodiscard]] std::vector<BriefCaution> brief_cautions(const Pack& pack, const BriefSource& source,
                                                       const NextCheck& next);

/// What was seen, measured, checked and proved, and what is believed without proof.
[[nodiscard]] BriefSection known_section(const Pack& pack, const BriefSource& source);
[[nodiscard]] BriefSection guessed_section(const Pack& pack, const BriefSource& source);

/// "25 Nov 2026, keeper".
[[nodiscard]] std::string when_and_who(const Event& event, const MinutesAhead& ahead);

} // namespace beckhand

// Lints of safety: a caution stands before the first step that needs it, and what a step says it needs.
//
// The words of a step call for a caution by the table below: when a sentence has one of `does` (and, where
// given, one of `to`), one of `guards` must stand with the fix, with that step or with an earlier one. The
// table is plain on purpose. It cannot know that a step is safe; it finds steps that were written without
// thinking of what could happen. The hazards are those of the cautions in knowledge/pack/cautions.toml.
#include <algorithm>
#include <set>

#include "knowledge/compiler/lint.h"
#include "knowledge/compiler/words.h"

namespace beckhand {

namespace {

enum class Side { any, before_pump, after_pump }; // the drive side holds the fall, the rest holds the lift

struct Guard {
    std::vector<std::string> does; // a word, or its beginning with a star
    std::vector<std::string> to;   // empty: whatever it is done to
    std::vector<std::string> guards;
    Side side = Side::any;
};

const std::vector<Guard>& guards() {
    static const std::vector<Guard> table = {
        // Pressure stays in vessel and delivery column after the pump stops; a full drive pipe squirts.
        {{"undo", "undoing", "unbolt*", "unscrew*", "loosen*", "slacken*", "dismantl*"},
         {},
         {"stored_pressure", "closed_outlet", "burst_plastic"},
         Side::after_pump},
        {{"undo", "undoing", "unbolt*", "unscrew*", "loosen*", "slacken*", "dismantl*"},
         {},
         {"stored_pressure", "eyes", "cold_water", "pinch"},
         Side::before_pump},
        {{"let", "bleed*", "drain"},
         {"vessel", "line", "pressure", "bladder", "union", "joint", "vent"},
         {"stored_pressure", "burst_plastic"}},
        // The waste valve shuts without warning.
        {{"start", "starts", "restart*"}, {"pump", "ram", "again"}, {"pinch"}},
        {{"push*", "press", "hold", "grip"}, {"waste"}, {"pinch"}},
        {{"stem"}, {}, {"pinch"}},
        // Water hammer from fast opening; a loaded line behind the valve.
        {{"open"},
         {"gate", "valve", "tap", "cock", "drain", "washout"},
         {"open_slowly", "pinch", "stored_pressure", "cold_water"}},
        {{"gate"}, {}, {"open_slowly", "pinch", "stored_pressure", "cold_water", "closed_outlet"}},
        // Hands and arms where something can close on them, or hidden water.
        {{"reach", "reaching"},
         {"arm", "hand", "in", "into", "under", "inside"},
         {"pinch", "confined_space", "cold_water", "dirty_water", "stored_pressure"}},
        // Heights, pits, tanks.
        {{"ladder*", "climb", "climbing"}, {}, {"alone", "lifting", "confined_space", "cold_water"}},
        {{"enter*", "inside"}, {"tank", "pit", "chamber", "vessel", "culvert"}, {"confined_space"}},
        {{"clean", "scrub", "disinfect"},
         {"tank"},
         {"confined_space", "disinfect_after", "not_drinking_water"}},
        // Loads.
        {{"carry", "carrying", "hoist*", "heave*", "lever"},
         {"pump", "vessel", "pipe", "pipes", "parts", "stone", "stones", "ram", "body", "pieces"},
         {"lifting"}},
        {{"lift", "lifting"},
         {"pump", "vessel", "pipe", "stone", "boulder", "slab", "ram", "body"},
         {"lifting"}},
        // Water to fall into, and what is in it.
        {{"wade*", "bank", "creek", "underwater"},
         {},
         {"cold_water", "flood_water", "dirty_water", "ice", "chemicals", "clean_gear", "water_rights"}},
        {{"ice", "frozen", "thaw*"}, {}, {"ice", "cold_water", "burst_plastic", "closed_outlet"}},
        // Substances and splinters.
        {{"bleach*", "chlorin*", "acid", "vinegar", "solvent", "cement", "disinfect"},
         {},
         {"chemicals", "disinfect_after"}},
        {{"saw", "sawing", "grind*", "chisel*", "hammer", "drill*"}, {}, {"eyes", "burst_plastic", "pinch"}},
        {{"weld*"}, {}, {"no_field_welding", "burst_plastic"}},
        {{"asbestos"}, {}, {"old_pipe"}},
    };
    return table;
}

bool matches(const std::string& word, const std::string& pattern) {
    if (pattern.back() == '*') {
        return word.compare(0, pattern.size() - 1, pattern, 0, pattern.size() - 1) == 0;
    }
    return word == pattern;
}

// The word of the sentence that is one of these, or nothing.
std::string met_in(const std::vector<std::string>& sentence, const std::vector<std::string>& patterns) {
    for (const std::string& word : sentence) {
        for (const std::string& pattern : patterns) {
            if (matches(word, pattern)) {
                return word;
            }
        }
    }
    return "";
}

bool is_met(const Guard& guard, const std::set<std::string>& carried) {
    return std::any_of(guard.guards.begin(), guard.guards.end(),
                       [&](const std::string& caution) { return carried.count(caution) != 0; });
}

std::string either(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i) {
        text += (i == 0 ? "" : i + 1 == names.size() ? " or " : ", ") + names[i];
    }
    return text;
}

Side side_of(const std::string& part) {
    const bool before = part == "intake" || part == "drive_pipe" || part == "fall";
    return before ? Side::before_pump : Side::after_pump;
}

void look_at_words(const std::string& path, const std::string& text, Side side,
                   const std::set<std::string>& carried, Findings& findings) {
    for (const std::string& sentence : sentences_of(text)) {
        const std::vector<std::string> words = words_of(sentence);
        for (const Guard& guard : guards()) {
            if (guard.side != Side::any && guard.side != side) {
                continue;
            }
            const std::string does = met_in(words, guard.does);
            const std::string to = guard.to.empty() ? "" : met_in(words, guard.to);
            if (!does.empty() && (guard.to.empty() || !to.empty()) && !is_met(guard, carried)) {
                findings.error(path,
                               "\"" + does + (to.empty() || to == does ? "" : " ... " + to) +
                                   "\" calls for a caution, and none is shown before it.",
                               "Name " + either(guard.guards) + " among its cautions.");
            }
        }
    }
}

} // namespace

void lint_cautions(const Written& written, Findings& findings) {
    for (const Cause& cause : written.pack.causes) {
        const std::string path = "cause." + cause.id;
        const std::set<std::string> for_check(cause.check.cautions.begin(), cause.check.cautions.end());
        look_at_words(path + ".check", cause.check.say, side_of(cause.part), for_check, findings);

        const std::set<std::string> for_fix(cause.fix.cautions.begin(), cause.fix.cautions.end());
        std::set<std::string> carried = for_fix;
        for (std::size_t i = 0; i < cause.fix.steps.size(); ++i) {
            const Step& step = cause.fix.steps[i];
            const std::string step_path = path + ".fix.steps." + std::to_string(i);
            for (const std::string& caution : step.cautions) {
                if (for_fix.count(caution) == 0) {
                    findings.error(step_path,
                                   "The step carries the caution \"" + caution +
                                       "\", which is not in the cautions of the fix.",
                                   "Add \"" + caution +
                                       "\" there, so that it is read before the first step.");
                }
                carried.insert(caution);
            }
            look_at_words(step_path, step.say, side_of(cause.part), carried, findings);
        }
    }
    for (const Service& service : written.pack.services) {
        const std::set<std::string> carried(service.cautions.begin(), service.cautions.end());
        look_at_words("service." + service.id, service.say, side_of(service.part), carried, findings);
    }
}

} // namespace beckhand

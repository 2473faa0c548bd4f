// Case files and site files: TOML that a person writes by hand. A site file has the keys of [site]; a case
// file adds what was seen and measured, so that a visit can be played without anyone at the creek.
//
//     first_told = ["beat_now"]              observations told before anything is asked
//     cause = "screen_matted"                what it really is, where somebody knows
//     care = "careful"                       or "sloppy": how the figures were taken
//     [site]      fall_m = 2.0 ...           keys of engine/records/site_fields.h; [site.record] when known
//     [measured]  W = 40, Q = "1 gal/min"    measurement ids; a bare number is in m, mm for bores, L/min,
//                                            beats a minute, bar, degrees Celsius; text names its unit
//     [answers]   screen_face = "matted"     observation id = answer id
//     [after]     Q = 5.1, yes = true        what is found after the fix
//     [then]      cause = ..., [then.answers], [then.after]
//                                            what is found once the first fix was judged and was not all
// [after] and [then] are only used where a visit is played to its end.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"
#include "engine/problem.h"
#include "engine/text_file.h"

namespace beckhand {

struct CaseFile {
    Site site;
    std::map<std::string, Measured> measured;        // by measurement id
    std::map<std::string, std::string> answers;      // observation id -> answer id
    std::vector<std::string> first_told;             // observation ids, each with an answer
    std::string cause;                               // cause id; empty: nobody knows
    std::map<std::string, Measured> after;           // re-measured after the fix
    std::optional<bool> after_yes;                   // the look that goes with the proof
    std::vector<CaseFile> then;                      // at most one: what holds after the first verdict
    std::vector<std::string> notes;                  // what was in the file and is not used
};

/// Reads a case. `name` is the file's name for messages, which read "name:line: what. What would be right."
[[nodiscard]] Result<CaseFile> read_case(const std::string& text, const std::string& name, const Pack& pack);

/// Reads a site file: either the keys at the top level or in a [site] table. What is in it and is not used
/// is added to `notes`.
[[nodiscard]] Result<Site> read_site(const std::string& text, const std::string& name,
                                     std::vector<std::string>* notes = nullptr);

} // namespace beckhand

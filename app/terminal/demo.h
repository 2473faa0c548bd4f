// A year at invented sites, so that the program can be shown and tried without a pump: sites, and visits
// that are played through the program itself, each at its own date. Written as TOML (assets/demo.toml):
//
//     [[site]]     id = "32 hex digits", then the keys of a site; [site.record]
//     [[visit]]    site = "its name", at = 2026-03-14T09:20:00Z, by = "keeper", note = "..."
//                  routine = true: only [visit.measured] and the note are set down; else the keys of a case
//                  play = true: the one that is shown live
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "app/terminal/case_file.h"
#include "engine/records/store.h"

namespace beckhand {

struct DemoVisit {
    std::string site; // the name of one of the sites
    Instant at;       // when it was opened
    std::string by;   // a role
    std::string note;
    bool routine = false; // figures and a note, no diagnosis
    bool play = false;    // shown live and not part of the log that fill_log makes
    CaseFile file;        // its site is the site's own
};

struct Demo {
    std::vector<SiteRow> sites;
    std::vector<DemoVisit> visits; // in order of their dates
};

/// `name` is the file's name for messages, which read "name:line: what. What would be right."
[[nodiscard]] Result<Demo> read_demo(const std::string& text, const std::string& name, const Pack& pack);

/// Saves the sites and plays every visit but the one that is shown live. The same demo gives the same log,
/// to the bit: ids come from site and date, times from the dates and from the minutes that each step takes.
/// What the log already holds stays as it is, so a log can be filled again, or on after it was cut short.
/// Needs a log that answers at once, as the desktop's does. Fails when the log cannot be written.
[[nodiscard]] Outcome fill_log(const Demo& demo, const Pack& pack, Store& store);

/// Plays the visit that is shown live into a log that fill_log has filled, and prints the transcript.
[[nodiscard]] Outcome play_demo(const Demo& demo, const Pack& pack, Store& store, std::ostream& out);

} // namespace beckhand

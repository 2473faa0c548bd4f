// What `beckhand` does for each of its words on the command line. Every function returns the exit code:
// 0 done; 1 it could not be done here, a pack has errors, a case ends at another cause than it names; 2 the
// file or the words are wrong.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

#include "engine/diagnosis/pack.h"

namespace beckhand {

struct Options {
    std::string data;        // folder of the log; empty: the usual one
    std::string pack_file;   // another pack than the one inside
    std::string second;      // folder for copies of finished visits; empty: as chosen last, if any
    std::string units;       // "metric", "us", or empty: as chosen last
};

struct PumpWords {
    std::string file;        // site file
    std::string fault;       // "waste_propped=0.4"; empty: sound
    double seconds = 60;
    bool json = false, csv = false;
    std::string plot;        // SVG or PNG file to write; empty: none
    std::string against;     // file of measured rams to run instead of a site; empty: none
};

struct ExamWords {
    std::size_t visits = 400;
    std::uint64_t seed = 1;
    double two = -1;         // share of visits with two faults; below 0: the pack's own
    double slips = 1;        // times oftener than the pack says
    std::string person = "keeper";
    bool figures = false, json = false;
};

/// Says what is wrong on the error stream and gives the exit code back.
int complain(const Problem& problem, int code);

/// The pack of `options`, or the one inside the program.
[[nodiscard]] Result<Pack> load_pack(const Options& options);

int command_window(const Options& options);
/// `answers`: keeper, helper or newcomer; empty: as chosen last.
int command_visit(const Options& options, const std::string& site, const std::string& answers);
/// What the log's proved repairs have taught, cause by cause; `change`: "on" or "off" first, or empty.
int command_learned(const Options& options, const std::string& change);
int command_demo(const Options& options, bool fill_only);
/// The brief of a site, as text, or as a PDF where a file is named.
int command_brief(const Options& options, const std::string& site, const std::string& pdf);
/// The read-back: `to` answers three questions about the brief. `received`: only sets down that they have it.
int command_read_back(const Options& options, const std::string& site, const std::string& to, bool received);
/// What is due at a site and what to carry, then the figures and the work of a round.
int command_round(const Options& options, const std::string& site);
/// Asks for the figures of a site's sheet one after the other.
int command_site_figures(const Options& options, const std::string& site);
/// Changes one entry of a site's sheet.
int command_site_set(const Options& options, const std::string& site, const std::string& key, const std::string& value);
int command_log_check(const Options& options);
int command_log(const Options& options, const std::string& visit_id);
int command_trend(const Options& options, const std::string& site_name, bool json);
int command_case(const Options& options, const std::string& file, bool json);
/// Measures how good the diagnosis is: visits drawn from the model, played by several rules.
int command_exam(const Options& options, const ExamWords& words);
int command_site_check(const Options& options, const std::string& file);
int command_pump(const Options& options, const PumpWords& words);
/// No folder named: knowledge/pack where one stands, in a folder above, or above the program.
/// `against`: an older pack, compiled or as a folder; the version must follow from what changed since.
int command_pack_lint(const std::string& folder, bool notes, const std::string& against);
int command_pack_build(const std::string& folder, const std::string& out);
int command_pack_show(const Options& options, const std::string& id);
/// What changed from one pack to the other, and which cases and visits of the log end differently.
int command_pack_diff(const Options& options, const std::string& older, const std::string& newer, const std::string& cases);
/// Packs and signs; a key file that is not there is made.
int command_pack_seal(const std::string& pack, const std::string& out, const std::string& key_file);
/// `trust`: digits of the key that signed it, as the sender told them; else they are asked for.
int command_pack_take(const Options& options, const std::string& file, bool older, const std::string& trust);
int command_pack_list(const Options& options);
int command_pack_use(const Options& options, const std::string& version);
/// Hands a site over as a file; without a site, says how the hand-overs of this log stand.
int command_hand_over(const Options& options, const std::string& site, const std::string& file);
/// Shows what a bundle would change and takes it in, or takes a receipt. `trust`: name to know its device by.
int command_take_in(const Options& options, const std::string& file, bool yes, const std::string& trust);
/// Takes in all copies of visits in a folder: a second folder of this device or of another.
int command_restore(const Options& options, const std::string& folder, bool yes);
int command_export(const Options& options, const std::string& folder);
int command_erase(const Options& options, const std::string& who, bool yes);
/// How long a recording has to be, in words: "8 s at least; ...".
[[nodiscard]] std::string how_long_to_hear();
/// The beat in a WAV file, or why it cannot be told.
int command_hear(const std::string& file);
int command_picture(const Options& options, const std::string& screen, const std::string& size, double scale,
                    const std::string& out);
int command_all_pictures(const Options& options, double scale, const std::string& folder);

/// A window where there is a display, the terminal where there is a person, else the demo.
int command_default(const Options& options);

} // namespace beckhand

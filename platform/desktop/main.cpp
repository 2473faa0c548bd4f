// The command line. `beckhand --help` says what there is; each word has its own --help.
#include <cstdio>
#include <exception>
#include <string>

#include <CLI/CLI.hpp>

#include "engine/measuring/ear.h"
#include "engine/quantity/text.h"
#include "platform/desktop/commands.h"

namespace {

using namespace beckhand;

/// The option or word that was given again though it holds one value; null where there is none.
const CLI::Option* given_twice(const CLI::App& program) {
    for (const CLI::Option* const option : program.get_options()) {
        if (option->count() > 1 && option->get_items_expected_max() == 1) return option;
    }
    for (const CLI::App* const word : program.get_subcommands()) {
        if (const CLI::Option* const option = given_twice(*word)) return option;
    }
    return nullptr;
}

/// Exit code 2 for wrong words, as for wrong files; 0 for --help.
int parse_failed(const CLI::App& program, const CLI::ParseError& error) {
    const bool mismatch = dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr;
    if (const CLI::Option* const option = mismatch ? given_twice(program) : nullptr) {
        return complain({"", option->get_name() + " is given more than once.", "Give it once."}, 2);
    }
    const int code = program.exit(error);
    return code == 0 ? 0 : 2;
}

/// The causes that --fault takes, for --help.
std::string causes_of(const Options& options) {
    const Result<Pack> pack = load_pack(options);
    if (!pack) return pack.error().sentence();
    std::string ids = "Causes:";
    for (const Cause& cause : pack->causes) {
        ids += " " + cause.id;
    }
    return ids;
}

int run(int argc, char** argv) {
    CLI::App program{"Beckhand: a field hand for hydraulic ram pumps. Without a word it opens the touch window, "
                     "or the terminal visit, or plays the demo visit."};
    program.set_version_flag("--version", "beckhand 0.1.0");
    program.require_subcommand(0, 1);
    program.fallthrough(); // --data, --pack and --units are taken before the word and after it
    Options options;
    program.add_option("--data", options.data, "Folder of the log (else $XDG_DATA_HOME/beckhand)");
    program.add_option("--pack", options.pack_file, "A pack file instead of the one inside");
    program.add_option("--second", options.second, "Folder for a copy of each finished visit; kept until changed");
    program.add_option("--units", options.units, "metric or us")->check(CLI::IsMember({"metric", "us"}));

    int code = 0;
    program.add_subcommand("window", "Open the touch window")->callback([&] { code = command_window(options); });

    std::string site, answers;
    CLI::App* visit = program.add_subcommand("visit", "A visit in the terminal, one question at a time");
    visit->add_option("--site", site, "Name of the site (else it is asked)");
    visit->add_option("--as", answers, "Who answers: keeper, helper (was shown), newcomer (never saw such a pump)")
        ->check(CLI::IsMember({"keeper", "helper", "newcomer"}));
    visit->callback([&] { code = command_visit(options, site, answers); });

    std::string case_file;
    bool json = false;
    CLI::App* play = program.add_subcommand("case", "Play a case file: the program asks, the file answers");
    play->add_option("FILE", case_file, "Case file, TOML")->required();
    play->add_flag("--json", json, "Print JSON");
    play->callback([&] { code = command_case(options, case_file, json); });

    ExamWords exam_words;
    CLI::App* exam = program.add_subcommand("exam", "How good the diagnosis is: drawn visits, played and scored");
    exam->add_option("--visits", exam_words.visits, "How many are drawn")->capture_default_str()->check(CLI::Range(1, 1000000));
    exam->add_option("--seed", exam_words.seed, "Of the random numbers")->capture_default_str();
    exam->add_option("--two", exam_words.two, "Share of visits with two faults, 0 to 1 (else the pack's)")->check(CLI::Range(0.0, 1.0));
    exam->add_option("--slips", exam_words.slips, "How many times oftener than the pack says answers are wrong")
        ->capture_default_str()
        ->check(CLI::Range(0.0, 20.0));
    exam->add_option("--person", exam_words.person, "Who answers")
        ->capture_default_str()
        ->check(CLI::IsMember({"keeper", "helper", "newcomer"}));
    exam->add_flag("--figures", exam_words.figures, "Also judge measured figures, by bands and by the virtual pump");
    exam->add_flag("--json", exam_words.json, "Print JSON");
    exam->callback([&] { code = command_exam(options, exam_words); });

    std::string site_file;
    CLI::App* sites = program.add_subcommand("site", "Site files, and the sheets of sites");
    sites->require_subcommand(1);
    CLI::App* check = sites->add_subcommand("check", "Published limits, and what the site should give");
    check->add_option("FILE", site_file, "Site file, TOML")->required();
    check->callback([&] { code = command_site_check(options, site_file); });

    std::string sheet_site, key, value;
    CLI::App* figures = sites->add_subcommand("figures", "Ask for the figures of a site's sheet, one after the other");
    figures->add_option("SITE", sheet_site, "Name of the site")->required();
    figures->callback([&] { code = command_site_figures(options, sheet_site); });
    CLI::App* set = sites->add_subcommand("set", "Change one entry of a site's sheet in the log");
    set->add_option("SITE", sheet_site, "Name of the site")->required();
    set->add_option("KEY", key, "As in a site file: fall_m, call, hemisphere ...")->required();
    set->add_option("VALUE", value, "In the units shown, or with its own; empty takes it out")->required();
    set->callback([&] { code = command_site_set(options, sheet_site, key, value); });

    PumpWords pump_words;
    CLI::App* pump = program.add_subcommand("pump", "Run the virtual pump of a site, sound or with a fault");
    CLI::Option* pump_site = pump->add_option("FILE", pump_words.file, "Site file, TOML");
    CLI::Option* against = pump->add_option("--against", pump_words.against,
                                            "File of measured rams, TOML: run and compare every row of it");
    against->excludes(pump_site);
    CLI::Option* fault = pump->add_option("--fault", pump_words.fault, "Cause in the pump, ID or ID=SEVERITY from 0 to 1");
    pump->add_option("--seconds", pump_words.seconds, "Seconds of the pump's time")
        ->capture_default_str()
        ->check(CLI::Range(5.0, 3600.0));
    CLI::Option* pump_json = pump->add_flag("--json", pump_words.json, "Print JSON, all in SI");
    CLI::Option* pump_csv = pump->add_flag("--csv", pump_words.csv, "Print the run in time as a table, all in SI");
    pump_csv->excludes(pump_json);
    pump->add_option("--plot", pump_words.plot, "SVG or PNG file to draw it into");
    pump->footer([&] { return causes_of(options); });
    fault->excludes(against);
    pump_json->excludes(against);
    pump_csv->excludes(against);
    pump->callback([&] {
        if (pump_words.file.empty() && pump_words.against.empty()) {
            throw CLI::ValidationError("pump", "give the FILE of a site, or --against FILE of measured rams");
        }
        code = command_pump(options, pump_words);
    });

    std::string recording;
    CLI::App* hear = program.add_subcommand("hear", "The beat in a recording of a pump");
    hear->add_option("FILE", recording, "WAV file, " + how_long_to_hear() + "; of a longer one the first " + fixed_text(most_seconds_heard, 0) + " s are heard")->required();
    hear->footer("Prints the rate and how far it may be off. Where it cannot be told it says why, with exit code 1.");
    hear->callback([&] { code = command_hear(recording); });

    std::string folder;
    std::string out;
    std::string id;
    bool notes = false, older = false;
    std::string older_pack, old_pack, new_pack, cases, key_file, digits, wanted_version;
    CLI::App* pack = program.add_subcommand("pack", "The rule database");
    pack->require_subcommand(1);
    CLI::App* lint = pack->add_subcommand("lint", "Check the TOML of a pack");
    lint->add_option("FOLDER", folder, "Folder of TOML files (else knowledge/pack, here or in a folder above)");
    lint->add_flag("--notes", notes, "Print the notes too");
    lint->add_option("--against", older_pack, "An older pack: warn where the version does not follow from what changed");
    lint->callback([&] { code = command_pack_lint(folder, notes, older_pack); });
    CLI::App* build = pack->add_subcommand("build", "Compile the TOML of a pack into one file");
    build->add_option("FOLDER", folder, "Folder of TOML files")->required();
    build->add_option("OUT", out, "Pack file to write")->required();
    build->callback([&] { code = command_pack_build(folder, out); });
    CLI::App* show = pack->add_subcommand("show", "Version and counts, or everything about one id");
    show->add_option("ID", id, "A cause, observation, measurement or caution");
    show->callback([&] { code = command_pack_show(options, id); });
    CLI::App* differs = pack->add_subcommand("diff", "What changed from one pack to another, and which visits end differently");
    differs->add_option("OLD", old_pack, "Pack file, or folder of TOML files")->required();
    differs->add_option("NEW", new_pack, "Pack file, or folder of TOML files")->required();
    differs->add_option("--cases", cases, "Folder of case files to play under both");
    differs->callback([&] { code = command_pack_diff(options, old_pack, new_pack, cases); });
    CLI::App* sealing = pack->add_subcommand("seal", "Sign a pack, to be sent to others");
    sealing->add_option("PACK", old_pack, "Pack file, or folder of TOML files")->required();
    sealing->add_option("OUT", out, "File to write")->required();
    sealing->add_option("--key", key_file, "File of the secret key; made where it is not there")->required();
    sealing->callback([&] { code = command_pack_seal(old_pack, out, key_file); });
    CLI::App* take = pack->add_subcommand("take", "Take a signed pack; it is used from the next start on");
    take->add_option("FILE", old_pack, "The signed file")->required();
    take->add_flag("--older", older, "Take it though it is no newer than the one in use");
    take->add_option("--trust", digits, "Digits of the sender's key, as the sender told them");
    take->callback([&] { code = command_pack_take(options, old_pack, older, digits); });
    pack->add_subcommand("list", "The packs that are here")->callback([&] { code = command_pack_list(options); });
    CLI::App* use = pack->add_subcommand("use", "Go back to a pack, or on to the newest");
    use->add_option("VERSION", wanted_version, "Its version, the first letters of its hash, or: newest")->required();
    use->callback([&] { code = command_pack_use(options, wanted_version); });

    std::string visit_id;
    CLI::App* log = program.add_subcommand("log", "The visits, or one of them read again");
    log->add_option("VISIT", visit_id, "Id of a visit, or its first letters");
    CLI::App* log_check = log->add_subcommand("check", "Verify every entry's hash, and compute the lists anew");
    log_check->callback([&] { code = command_log_check(options); });
    log->callback([&] {
        if (!log_check->parsed()) code = command_log(options, visit_id);
    });

    std::string change;
    CLI::App* learned = program.add_subcommand("learned", "What the repairs proved in this log say of how common causes are");
    learned->add_option("CHANGE", change, "on or off: whether visits opened from now on count with it")
        ->check(CLI::IsMember({"on", "off"}));
    learned->callback([&] { code = command_learned(options, change); });

    std::string brief_site, pdf;
    CLI::App* brief = program.add_subcommand("brief", "The brief of a site for a helper, as text or on paper");
    brief->add_option("SITE", brief_site, "Name of the site")->required();
    brief->add_option("--pdf", pdf, "PDF file to write, two pages at most");
    brief->callback([&] { code = command_brief(options, brief_site, pdf); });

    std::string to, round_site;
    bool received = false;
    CLI::App* read_back = program.add_subcommand("read-back", "Hand a site on: three questions about its brief, then it counts");
    read_back->add_option("SITE", brief_site, "Name of the site")->required();
    CLI::Option* receiver = read_back->add_option("--to", to, "Who takes the site over (else the one it was offered to)");
    read_back->add_flag("--received", received, "Only set down that they say they have it")->excludes(receiver);
    read_back->callback([&] { code = command_read_back(options, brief_site, to, received); });
    CLI::App* round = program.add_subcommand("round", "What is due at a site and what to carry; then figures and work set down");
    round->add_option("SITE", round_site, "Name of the site")->required();
    round->callback([&] { code = command_round(options, round_site); });

    std::string trend_site;
    bool trend_as_json = false;
    CLI::App* trend = program.add_subcommand("trend", "A site's figures over its visits, and what is due there");
    trend->add_option("SITE", trend_site, "Name of the site")->required();
    trend->add_flag("--json", trend_as_json, "Print JSON, all in SI");
    trend->callback([&] { code = command_trend(options, trend_site, trend_as_json); });

    bool fill = false;
    CLI::App* demo = program.add_subcommand("demo", "Play the demo visit, with a year of invented visits in the log");
    demo->add_flag("--fill", fill, "Only fill the log");
    demo->callback([&] { code = command_demo(options, fill); });

    std::string hand_site, hand_file, trust, who;
    bool yes = false;
    CLI::App* hand_over = program.add_subcommand("hand-over", "Give a site and its visits to another device");
    hand_over->add_option("SITE", hand_site, "Name of the site; none: how the hand-overs stand");
    hand_over->add_option("--to", hand_file, "File to write");
    hand_over->callback([&] { code = command_hand_over(options, hand_site, hand_file); });
    CLI::App* taking_in = program.add_subcommand("take-in", "Take in what was handed over, after a look at it");
    taking_in->add_option("FILE", hand_file, "The file, or a receipt")->required();
    taking_in->add_flag("--yes", yes, "Do not ask");
    taking_in->add_option("--trust", trust, "Know the device that signed it by this name from now on");
    taking_in->callback([&] { code = command_take_in(options, hand_file, yes, trust); });
    CLI::App* restoring = program.add_subcommand("restore", "Take in the copies of visits in a second folder");
    restoring->add_option("FOLDER", folder, "Folder of copies")->required();
    restoring->add_flag("--yes", yes, "Do not ask");
    restoring->callback([&] { code = command_restore(options, folder, yes); });
    CLI::App* exporting = program.add_subcommand("export", "Everything in the log as CSV and JSON");
    exporting->add_option("FOLDER", folder, "Folder to write into")->required();
    exporting->callback([&] { code = command_export(options, folder); });
    CLI::App* erase = program.add_subcommand("erase", "Erase a person's name and notes, here and with the next hand-over");
    erase->add_option("WHO", who, "The name as it stands in the log")->required();
    erase->add_flag("--yes", yes, "Do not ask");
    erase->callback([&] { code = command_erase(options, who, yes); });

    std::string screen;
    std::string size = "412x915";
    std::string all;
    double scale = 1;
    CLI::App* picture = program.add_subcommand("picture", "Draw a screen to a PNG, without a display");
    picture->add_option("--screen", screen, "Name of the screen; drawings: all small drawings; question:ID");
    picture->add_option("--size", size, "Width x height")->capture_default_str();
    picture->add_option("--scale", scale, "Dots for each of them")->capture_default_str()->check(CLI::Range(0.5, 4.0));
    picture->add_option("--all", all, "Draw every screen at every size into this folder");
    picture->add_option("OUT", out, "PNG file to write");
    picture->callback([&] {
        if (all.empty() && (screen.empty() || out.empty())) {
            throw CLI::ValidationError("picture", "give --screen NAME and OUT.png, or --all FOLDER");
        }
        code = all.empty() ? command_picture(options, screen, size, scale, out)
                           : command_all_pictures(options, scale, all);
    });

    try {
        program.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return parse_failed(program, error);
    }
    return program.get_subcommands().empty() ? command_default(options) : code;
}

} // namespace

int main(int argc, char** argv) {
    try {
        return run(argc, argv);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "beckhand: %s\n", error.what());
        return 1;
    }
}

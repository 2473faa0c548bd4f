// The commands that need no screen.
#include "platform/desktop/commands.h"

#include <algorithm>
#include <cstdio>
#include <iostream>
#include <set>

#include "app/figures.h"
#include "app/log/record_text.h"
#include "app/settings.h"
#include "app/terminal/demo.h"
#include "app/terminal/measured_rams.h"
#include "app/terminal/pump_plot.h"
#include "app/terminal/pump_text.h"
#include "app/terminal/script.h"
#include "app/terminal/site_text.h"
#include "app/terminal/trend_text.h"
#include "app/terminal/visit.h"
#include "engine/bundle/hand_over.h"
#include "engine/diagnosis/pack_file.h"
#include "platform/desktop/embedded.h"
#include "platform/desktop/paths.h"
#include "platform/desktop/plot_picture.h"
#include "platform/desktop/session.h"
#include "platform/desktop/visit_start.h"

namespace beckhand {
namespace {

Units units_of(const Options& options) { return options.units == "us" ? Units::us : Units::metric; }

/// How many first letters of the ids it takes so that no two visits look the same; at least six.
std::size_t letters_to_tell_apart(const std::vector<VisitRow>& visits) {
    for (std::size_t letters = 6; letters < 32; ++letters) {
        std::set<std::string> seen;
        for (const VisitRow& row : visits) {
            seen.insert(row.id.substr(0, letters));
        }
        if (seen.size() == visits.size()) return letters;
    }
    return 32;
}

void print_row(const VisitRow& row, std::size_t letters) {
    std::printf("%s  %s  %-20s  %s%s%s\n", row.id.substr(0, letters).c_str(),
                day_text(row.opened_at, minutes_ahead_here).c_str(), row.site_name.c_str(), summary_of(row).c_str(),
                row.closed ? "" : "  (open)", row.doubtful_times ? "  (clock in doubt)" : "");
}

/// The site of a file; says on the error stream what in it is not used.
Result<Site> read_site_of(const std::string& text, const std::string& file) {
    std::vector<std::string> notes;
    Result<Site> site = read_site(text, file, &notes);
    for (const std::string& note : notes) {
        std::fprintf(stderr, "%s\n", note.c_str());
    }
    return site;
}

} // namespace

int complain(const Problem& problem, int code) {
    std::fprintf(stderr, "%s\n", problem.sentence().c_str());
    return code;
}

Result<Pack> load_pack(const Options& options) {
    if (options.pack_file.empty()) {
        const Result<PackShelf> shelf = PackShelf::open(data_folder_if_there(options.data));
        if (!shelf) return shelf.error();
        for (const Problem& trouble : shelf->troubles()) complain(trouble, 0);
        return shelf->in_use();
    }
    Result<std::string> text = read_text_file(options.pack_file);
    if (!text) return text.error();
    return read_pack(std::as_bytes(std::span(text->data(), text->size())), options.pack_file);
}

int command_visit(const Options& options, const std::string& site, const std::string& answers) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    if (!begin_visit(**session, site, person_of(answers), std::cin, std::cout)) return 0;
    const int code = run_terminal((*session)->app(), std::cin, std::cout);
    return offer_to_save(**session, std::cin, std::cout) ? code : 1;
}

int command_demo(const Options& options, bool fill_only) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    const auto demo = read_demo(std::string(embedded_demo()), "demo.toml", (*session)->pack());
    if (!demo) return complain(demo.error(), 1);
    if (const Outcome filled = fill_log(*demo, (*session)->pack(), (*session)->store()); !filled) {
        return complain(filled.error(), 1);
    }
    if (fill_only) {
        std::printf("The log holds %zu sites and %zu visits.\n", demo->sites.size(), demo->visits.size());
        return 0;
    }
    const Outcome played = play_demo(*demo, (*session)->pack(), (*session)->store(), std::cout);
    return played ? 0 : complain(played.error(), 1);
}

int command_learned(const Options& options, const std::string& change) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    App& app = (*session)->app();
    if (!change.empty()) app.act(SetLearning{change == "on"});
    app.act(Show{Screen::choices});
    const State& state = app.state();
    if (state.trouble) return complain(*state.trouble, 1);
    std::printf("Learning from the repairs proved in this log is %s. %s\n", id_of_switch(state.learning).c_str(),
                words_of(state.learned).c_str());
    for (const std::string& line : moved_lines((*session)->pack(), state.learned, state.learned.moved.size())) {
        std::printf("  %s\n", line.c_str());
    }
    return 0;
}

int command_log(const Options& options, const std::string& visit_id) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    const Store& store = (*session)->store();
    const auto visits = store.visits();
    if (!visits) return complain(visits.error(), 1);
    const std::size_t letters = letters_to_tell_apart(*visits);
    if (visit_id.empty()) {
        for (const VisitRow& row : *visits) print_row(row, letters);
        if (visits->empty()) std::printf("The log is empty.\n");
        return 0;
    }
    std::vector<VisitRow> meant;
    for (const VisitRow& row : *visits) {
        if (row.id.starts_with(visit_id)) meant.push_back(row);
    }
    if (meant.empty()) {
        return complain({visit_id, "There is no visit with this id.", "`beckhand log` lists them."}, 2);
    }
    if (meant.size() > 1) {
        for (const VisitRow& row : meant) print_row(row, letters);
        return complain({visit_id, "Several visits begin so.", "Give more letters of the one that is meant."}, 2);
    }
    const auto events = store.events(meant.front().id);
    if (!events) return complain(events.error(), 1);
    const Units units = (*session)->app().state().units;
    const Pack& pack = (*session)->pack_of(fold(*events).pack_hash); // the one that decided it
    for (const std::string& line : record_lines(pack, *events, units, minutes_ahead_here)) {
        std::printf("%s\n", line.c_str());
    }
    return 0;
}

int command_log_check(const Options& options) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    if (const auto& notice = (*session)->app().state().notice) std::printf("%s\n", notice->sentence().c_str());
    const auto check = (*session)->store().check();
    if (!check) return complain(check.error(), 1);
    std::printf("%lld entries of %d device%s.\n", static_cast<long long>(check->entries), check->devices,
                check->devices == 1 ? "" : "s");
    if (check->disputed > 0) {
        std::printf("%d entries from elsewhere bear the name of other entries here; they are kept beside the log.\n",
                    check->disputed);
    }
    for (const std::string& place : check->broken) {
        std::printf("%s\n", place.c_str());
    }
    if (check->lists_differed) std::printf("The lists did not agree with the entries; they were made anew.\n");
    if (check->broken.empty()) {
        std::printf("Every entry is what was saved, in its order.\n");
        const auto all = bundle::slice_of((*session)->store());
        if (!all) return complain(all.error(), 1);
        std::printf("Digits of all of it, to compare with another device: %s\n", bundle::fingerprint(bundle::digest_of(*all)).c_str());
    }
    return check->broken.empty() ? 0 : 1;
}

int command_trend(const Options& options, const std::string& site_name, bool json) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    App& app = (*session)->app();
    const auto row = site_called(app.state(), site_name);
    if (!row) return complain(row.error(), 2);
    app.act(ShowTrend{row->id});
    while (app.work()) {}
    const State& state = app.state();
    if (state.trouble) return complain(*state.trouble, 1);
    const SiteTrend& trend = state.trends.at(row->id);
    const Pack& pack = (*session)->pack();
    const std::string text = json ? trend_json(pack, row->site, trend, state.now)
                                  : trend_text(pack, row->site, trend, state.now, state.units, minutes_ahead_here);
    std::fputs(text.c_str(), stdout);
    return 0;
}

int command_case(const Options& options, const std::string& file, bool json) {
    const auto pack = load_pack(options);
    if (!pack) return complain(pack.error(), 2);
    const auto text = read_text_file(file);
    if (!text) return complain(text.error(), 2);
    const auto read = read_case(*text, file, *pack);
    if (!read) return complain(read.error(), 2);
    for (const std::string& note : read->notes) {
        std::fprintf(stderr, "%s\n", note.c_str());
    }
    const PlayedCase played = play_case(*read, *pack, Model(*pack));
    std::fputs((json ? played_json(played, *pack) : played_text(played, *pack)).c_str(), stdout);
    const bool expected = as_expected(played, *read, *pack);
    // JSON stays alone on its stream.
    std::fputs(compared_text(played, *read, *pack).c_str(), json ? stderr : stdout);
    return expected ? 0 : 1;
}

int command_site_check(const Options& options, const std::string& file) {
    const auto text = read_text_file(file);
    if (!text) return complain(text.error(), 2);
    const auto site = read_site_of(*text, file);
    if (!site) return complain(site.error(), 2);
    int broken = 0;
    std::fputs(site_check_text(*site, units_of(options), broken).c_str(), stdout);
    return 0;
}

int command_pump_against(const PumpWords& words) {
    const auto text = read_text_file(words.against);
    if (!text) return complain(text.error(), 2);
    const auto rams = read_measured_rams(*text, words.against);
    if (!rams) return complain(rams.error(), 2);
    const std::vector<ComparedFigure> figures = compare(*rams);
    if (!words.plot.empty()) {
        if (const Outcome written = write_plot(compared_plot(*rams, figures), words.plot); !written) {
            return complain(written.error(), 2);
        }
    }
    std::fputs(compared_text(*rams, figures).c_str(), stdout);
    return 0;
}

int command_pump(const Options& options, const PumpWords& words) {
    if (!words.against.empty()) return command_pump_against(words);
    const auto text = read_text_file(words.file);
    if (!text) return complain(text.error(), 2);
    const auto site = read_site_of(*text, words.file);
    if (!site) return complain(site.error(), 2);
    PumpQuestion question;
    question.seconds = words.seconds;
    if (!words.fault.empty()) {
        const auto pack = load_pack(options);
        if (!pack) return complain(pack.error(), 2);
        const auto fault = read_fault(*pack, words.fault);
        if (!fault) return complain(fault.error(), 2);
        question.fault = *fault;
    }
    if (words.csv) {
        question.drawn = 0; // the table has no room for the spread and the setting
        question.advise = false;
    }
    if (words.csv || !words.plot.empty()) question.sample_every_seconds = 0.005;
    const auto answer = ask_pump(*site, question);
    if (!answer) {
        return complain({words.file, answer.error().what, answer.error().todo}, 2);
    }
    if (!words.plot.empty()) {
        if (const Outcome written = write_plot(pump_plot(*answer, units_of(options)), words.plot); !written) {
            return complain(written.error(), 2);
        }
    }
    const std::string out = words.json  ? pump_json(*answer)
                            : words.csv ? pump_csv(*answer)
                                        : pump_text(*answer, units_of(options));
    std::fputs(out.c_str(), stdout);
    return 0;
}

} // namespace beckhand

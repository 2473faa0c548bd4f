// The commands around a site that is looked after by several: its brief, the read-back, a round, its sheet.
#include <cstdio>
#include <iostream>
#include <span>

#include "app/handover/brief_pdf.h"
#include "app/handover/brief_text.h"
#include "app/handover/gather.h"
#include "app/terminal/read_back.h"
#include "app/terminal/round.h"
#include "engine/records/site_fields.h"
#include "platform/desktop/commands.h"
#include "platform/desktop/session.h"
#include "platform/desktop/site_figures.h"
#include "engine/records/site_name.h"
#include "platform/desktop/visit_start.h"

namespace beckhand {
namespace {

/// Sets one entry of a sheet, as the log's files name it; "" takes it out.
Outcome set_entry(Site& site, const std::string& key, const std::string& value, Units units) {
    for (const SiteText& text : site_texts()) {
        if (text.key != key) continue;
        if (key == "name") {
            if (const Outcome named = check_site_name(value); !named) return named;
        }
        if (text.set_text(site, value) && !site.name.empty()) return Done{};
        return Problem{key, "\"" + value + "\" is not a word known here.", "Give the " + std::string(text.words) + "."};
    }
    std::string keys;
    for (const SiteText& text : site_texts()) keys += (keys.empty() ? "" : ", ") + std::string(text.key);
    for (const SiteField& field : site_fields()) {
        keys += ", " + std::string(field.key);
        if (field.key != key) continue;
        if (value.empty()) {
            field.set_si(site, std::nullopt);
            return Done{};
        }
        const Figure kind = figure_of(field);
        const Result<double> si = parse_figure(kind, value, units, kind == Figure::temperature ? Sign::any : Sign::not_negative);
        if (!si) return Problem{key, si.error().what, si.error().todo};
        if (const auto problem = field_problem(field, *si / field.si_per_unit)) return *problem;
        field.set_si(site, *si);
        return Done{};
    }
    return Problem{key, "A site's sheet has no such entry.", "There are: " + keys + "."};
}

} // namespace

int command_brief(const Options& options, const std::string& site, const std::string& pdf) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    const State& state = (*session)->app().state();
    const Pack& pack = (*session)->pack();
    const auto row = site_called(state, site);
    if (!row) return complain(row.error(), 2);
    const Result<Outlook> outlook = outlook_for(row->site, Depth::sound_pump);
    const BriefWish wish{state.units, minutes_ahead_here, clock_now(), state.by, outlook ? &*outlook : nullptr};
    const Model model(pack);
    const auto source = gather_brief((*session)->store(), pack, model, *row, wish);
    if (!source) return complain(source.error(), 1);
    const Brief brief = brief_of(pack, model, *source);
    if (pdf.empty()) {
        std::fputs(brief_text(brief).c_str(), stdout);
        return 0;
    }
    const auto paper = brief_paper(brief, row->site);
    if (!paper) return complain(paper.error(), 1);
    if (const Outcome written = write_whole(pdf, bundle::view(paper->bytes)); !written) return complain(written.error(), 1);
    std::printf("%s: %d %s.\n", pdf.c_str(), paper->pages, paper->pages == 1 ? "page" : "pages");
    return 0;
}

int command_read_back(const Options& options, const std::string& site, const std::string& to, bool received) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    App& app = (*session)->app();
    const auto row = site_called(app.state(), site);
    if (!row) return complain(row.error(), 2);
    return received ? note_received(app, row->id, std::cout) : run_read_back(app, row->id, to, std::cin, std::cout);
}

int command_round(const Options& options, const std::string& site) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    App& app = (*session)->app();
    const auto row = site_called(app.state(), site);
    if (!row) return complain(row.error(), 2);
    return run_round(app, row->id, std::cin, std::cout);
}

int command_site_figures(const Options& options, const std::string& site) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    const State& state = (*session)->app().state();
    auto row = site_called(state, site);
    if (!row) return complain(row.error(), 2);
    std::cout << row->site.name << "\n";
    if (!ask_site_figures(row->site, state.units, std::cin, std::cout)) {
        std::cout << "\nNothing is changed.\n";
        return 0;
    }
    Outcome saved = Done{};
    (*session)->store().save_site(*row, clock_now(), [&](const Outcome& outcome) { saved = outcome; }, state.by);
    if (!saved) return complain(saved.error(), 1);
    std::cout << "\nKept. Visits that begin from now on go by these figures.\n";
    return 0;
}

int command_site_set(const Options& options, const std::string& site, const std::string& key, const std::string& value) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    const State& state = (*session)->app().state();
    auto row = site_called(state, site);
    if (!row) return complain(row.error(), 2);
    if (const Outcome set = set_entry(row->site, key, value, state.units); !set) return complain(set.error(), 2);
    Outcome saved = Done{};
    (*session)->store().save_site(*row, clock_now(), [&](const Outcome& outcome) { saved = outcome; }, state.by);
    if (!saved) return complain(saved.error(), 1);
    std::printf("%s: %s is %s now.\n", row->site.name.c_str(), key.c_str(), value.empty() ? "not known" : value.c_str());
    return 0;
}

} // namespace beckhand

// What pressing does in a visit: every answer becomes an event, and Back becomes one too.
#include "app/app.h"

#include <algorithm>
#include <utility>

#include "app/entry.h"
#include "app/figures.h"
#include "app/log/record_text.h"
#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

constexpr const char* visit_gone = "This visit is not in the log.";
constexpr const char* visit_gone_todo = "Go back to the list of sites and start a new one.";

bool wants_figure(Stage stage) { return stage == Stage::measure || stage == Stage::proof_measure; }

/// What the last event took back, in words; empty when it took nothing back.
std::string undone_by(const Pack& pack, const std::vector<Event>& events, Units units) {
    if (events.empty()) return "";
    const auto* const back = std::get_if<TookBack>(&events.back().what);
    if (!back) return "";
    for (const Event& event : events) {
        if (event.number == back->event) return words_of(pack, event.what, units);
    }
    return "";
}

} // namespace

void App::turn_to(std::string visit_id, std::vector<Event> events, Scene scene) {
    if (visit_id != state_.visit_id) state_.cautions_read.clear();
    state_.visit_id = std::move(visit_id);
    state_.events = std::move(events);
    state_.scene = std::move(scene);
    state_.site_id = state_.scene.visit.site_id;
    state_.screen = Screen::visit;
    state_.undone = undone_by(pack_, state_.events, state_.units);
    state_.why_open = state_.sure_open = false;
    state_.how_open = false;
    state_.part.clear();
    state_.entry.reset();
    state_.looking_again = false;
    if (wants_figure(state_.scene.stage)) state_.entry.emplace();
}

void App::on(const LookAgain& what) {
    if (state_.screen != Screen::visit || !state_.scene.clash) return;
    const Clash clash = *state_.scene.clash;
    state_.scene = looking_again(pack_, std::move(state_.scene), what.at_later ? clash.later : clash.earlier);
    state_.looking_again = true;
    if (wants_figure(state_.scene.stage)) state_.entry.emplace();
}

void App::start_at_unlisted() {
    SiteRow row;
    row.id = new_id(services_.random());
    const std::string name = "Pump of " + day_text(services_.now(), state_.minutes_ahead);
    const auto taken = [this](const std::string& wanted) {
        return std::any_of(state_.sites.begin(), state_.sites.end(),
                           [&](const SiteRow& other) { return other.site.name == wanted; });
    };
    row.site.name = name;
    for (int n = 2; taken(row.site.name); ++n) row.site.name = name + ", number " + std::to_string(n);
    save_site(row, [this, id = row.id] {
        reload();
        on(StartVisit{id});
    });
}

void App::on(const StartVisit& what) {
    if (what.site_id.empty()) {
        start_at_unlisted();
        return;
    }
    for (const SiteRow& row : state_.sites) {
        if (row.id != what.site_id) continue;
        use_pack(newest_);
        const std::string visit_id = new_id(services_.random());
        state_.another_answers = false;
        append(visit_id, {}, opening_of(row.id, row.site, pack_.version, pack_.hash), known_at_opening(visit_id, row.id));
        return;
    }
}

std::vector<Happening> App::known_at_opening(const std::string& visit_id, const std::string& site_id) const {
    std::vector<Happening> known;
    // A log that cannot say what it proved says what is wrong with it as soon as the opening is saved.
    if (const auto repairs = services_.store->proved_repairs()) {
        Recalled recalled = recalled_for(*repairs, visit_id, site_id, services_.now(), state_.learning);
        if (anything(recalled)) known.emplace_back(std::move(recalled));
    }
    if (state_.person != Person::keeper) known.emplace_back(AnsweringAs{state_.person});
    return known;
}

void App::on(const ResumeVisit& what) {
    Result<std::vector<Event>> events = services_.store->events(what.visit_id);
    if (!events) {
        state_.trouble = events.error();
        return;
    }
    if (events->empty()) {
        state_.trouble = Problem{"", visit_gone, visit_gone_todo};
        return;
    }
    use_pack_of(*events);
    Scene scene = scene_for(fold(*events));
    turn_to(what.visit_id, std::move(*events), std::move(scene));
    const Visit& visit = state_.scene.visit;
    state_.another_answers = !visit.closed && visit.person != state_.person;
    tell_notice();
}

void App::on(const Say& what) {
    if (state_.screen != Screen::visit) return;
    state_.another_answers = false;
    append(state_.visit_id, state_.events, what.what);
}

void App::on(const NamePart& what) { state_.part = what.part; }

void App::on(const ReadCautions&) {
    if (state_.screen == Screen::visit && state_.scene.cause) state_.cautions_read = pack_.causes[*state_.scene.cause].id;
}

void App::on(const Back&) {
    switch (state_.screen) {
        case Screen::visit: {
            if (state_.looking_again) {
                turn_to(state_.visit_id, state_.events, scene_for(fold(state_.events)));
                return;
            }
            const std::optional<TookBack> back = take_back(state_.scene.visit);
            if (!back || state_.scene.visit.closed) {
                on(ShowSite{state_.scene.visit.site_id});
            } else {
                append(state_.visit_id, state_.events, *back);
            }
            return;
        }
        case Screen::site_edit:
            if (state_.entry) {
                state_.entry.reset();
            } else if (state_.draft_is_new) {
                on(Show{Screen::sites});
            } else {
                on(ShowSite{state_.site_id});
            }
            return;
        case Screen::trend: on(ShowSite{state_.site_id}); return;
        case Screen::round:
            if (state_.entry) state_.entry.reset();
            else on(ShowTrend{state_.site_id});
            return;
        case Screen::record: on(Show{Screen::log}); return;
        case Screen::handover: back_from_handover(); return;
        case Screen::glass: on(Show{Screen::choices}); return;
        case Screen::measuring: back_from_measuring(); return;
        case Screen::codes: on(ShowSite{state_.codes.site_id}); return;
        case Screen::log:
            if (state_.site_id.empty()) {
                on(Show{Screen::sites});
            } else {
                on(ShowSite{state_.site_id});
            }
            return;
        case Screen::sites:
        case Screen::site_sheet:
        case Screen::choices: on(Show{Screen::sites}); return;
    }
}

void App::on(const Press& what) {
    const std::optional<Wanted> wanted = wanted_of(state_, pack_);
    if (!wanted) return;
    if (what.press != kit::KeypadPress::accept) {
        state_.entry = with_key(*state_.entry, what);
        return;
    }
    const Result<std::optional<double>> figure = accepted(*state_.entry, *wanted, state_.units);
    if (!figure) {
        state_.entry->trouble = figure.error().what + " " + figure.error().todo;
        return;
    }
    if (state_.screen == Screen::site_edit) {
        for (const SiteField& field : site_fields()) {
            if (field.key == state_.entry->field) field.set_si(state_.draft, *figure);
        }
        state_.entry.reset();
        return;
    }
    if (state_.screen == Screen::measuring) {
        state_.measuring.typed.erase(state_.entry->field);
        if (*figure) state_.measuring.typed[state_.entry->field] = **figure;
        state_.how_open = false;
        state_.entry.reset();
        return;
    }
    if (state_.screen == Screen::round) {
        const std::string& taken = state_.entry->field;
        state_.round.figures.erase(taken);
        if (*figure) state_.round.figures[taken] = Measured{taken, **figure, state_.entry->care};
        state_.entry.reset();
        return;
    }
    const std::string& id = pack_.measurements[*state_.scene.measurement].id;
    append(state_.visit_id, state_.events, Measured{id, **figure, state_.entry->care});
}

void App::on(const ChooseCare& what) {
    if (state_.entry) state_.entry->care = what.care;
}

void App::on(const Unfold& what) {
    switch (what.which) {
        case Unfold::how: state_.how_open = !state_.how_open; return;
        case Unfold::why: state_.why_open = !state_.why_open; return;
        case Unfold::sure: state_.sure_open = !state_.sure_open; return;
        case Unfold::kept: state_.kept_open = !state_.kept_open; return;
    }
}

void App::on(const ReadTrouble&) {
    // One at a time: a trouble stands before a notice.
    (state_.trouble ? state_.trouble : state_.notice).reset();
}

} // namespace beckhand

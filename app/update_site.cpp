// What pressing does outside a visit: lists, site sheets, the draft of a site, the log, the choices.
#include "app/app.h"

#include <algorithm>
#include <utility>

#include "app/entry.h"
#include "app/figures.h"
#include "app/settings.h"
#include "engine/records/site_fields.h"
#include "engine/records/site_name.h"

namespace beckhand {
namespace {

constexpr const char* name_missing = "The site has no name yet.";
constexpr const char* name_todo = "Give it a name that everybody here knows.";
constexpr const char* site_gone = "This site is not in the log.";
constexpr const char* site_gone_todo = "Go back to the list of sites.";

} // namespace

void App::on(const Show& what) {
    if (what.screen == Screen::visit && state_.visit_id.empty()) return;
    reload();
    state_.entry.reset();
    if (what.screen == Screen::sites) state_.site_id.clear();
    state_.screen = what.screen;
    if (what.screen == Screen::visit) {
        use_pack_of(state_.events);
        turn_to(state_.visit_id, state_.events, scene_for(fold(state_.events)));
        return;
    }
    use_pack(newest_);
    if (what.screen == Screen::choices) {
        const auto repairs = services_.store->proved_repairs();
        if (repairs) state_.learned = learned_from(pack_, counted(*repairs));
        else state_.trouble = repairs.error();
    }
}

void App::on(const ShowSite& what) {
    reload();
    if (!find_site(state_, what.id)) {
        state_.trouble = Problem{"", site_gone, site_gone_todo};
        return;
    }
    state_.entry.reset();
    state_.kept_open = state_.how_open = false;
    state_.site_id = what.id;
    state_.screen = Screen::site_sheet;
    use_pack(newest_);
}

void App::on(const EditSite& what) {
    const SiteRow* const row = find_site(state_, what.id);
    if (!what.id.empty() && !row) {
        state_.trouble = Problem{"", site_gone, site_gone_todo};
        return;
    }
    state_.site_id = what.id;
    state_.draft = row ? row->site : Site{};
    state_.draft_is_new = row == nullptr;
    state_.entry.reset();
    state_.screen = Screen::site_edit;
}

void App::on(const EditField& what) {
    Entry entry;
    entry.field = what.key;
    for (const SiteField& field : site_fields()) {
        const std::optional<double> si = field.si(state_.draft);
        if (field.key == what.key && si) entry.text = format_number(figure_of(field), *si, state_.units);
    }
    state_.entry = std::move(entry);
}

void App::on(const ChooseMaterial& what) {
    state_.draft.drive_material = what.material;
    state_.entry.reset();
}

void App::on(const EditText& what) {
    for (const SiteText& text : site_texts()) {
        if (text.key == what.key) text.set_text(state_.draft, what.text);
    }
}

void App::on(const SaveDraft&) {
    if (state_.draft.name.empty()) {
        state_.trouble = Problem{"", name_missing, name_todo};
        return;
    }
    const SiteRow* const saved = state_.draft_is_new ? nullptr : find_site(state_, state_.site_id);
    if (saved == nullptr || saved->site.name != state_.draft.name) {
        if (const Outcome named = check_site_name(state_.draft.name); !named) {
            state_.trouble = named.error();
            return;
        }
    }
    SiteRow row;
    row.id = state_.draft_is_new ? new_id(services_.random()) : state_.site_id;
    row.site = state_.draft;
    save_site(row, [this, id = row.id] {
        on(ShowSite{id});
        tell_notice();
    });
}

void App::save_site(const SiteRow& row, std::function<void()> then) {
    state_.saving = true;
    services_.store->save_site(row, services_.now(), [this, then = std::move(then)](const Outcome& outcome) {
        state_.saving = false;
        if (outcome) then();
        else state_.trouble = outcome.error();
    }, state_.by);
}

void App::on(const ReadRecord& what) {
    Result<std::vector<Event>> events = services_.store->events(what.visit_id);
    if (!events) {
        state_.trouble = events.error();
        return;
    }
    use_pack_of(*events);
    state_.record_id = what.visit_id;
    state_.record_events = std::move(*events);
    state_.screen = Screen::record;
    tell_notice();
}

void App::on(const ShowDevice&) {
    if (services_.device_sheet) services_.device_sheet();
}

void App::on(const SetUnits& what) {
    state_.units = what.units;
    // Reasons and verdict name figures: their words follow.
    if (!state_.visit_id.empty()) state_.scene = scene_for(fold(state_.events));
    keep(units_key, id_of(what.units));
}

void App::on(const SetTheme& what) {
    state_.theme = what.theme;
    keep(theme_key, id_of(what.theme));
}

void App::on(const SetTextScale& what) {
    state_.text_scale = what.scale;
    keep(text_scale_key, id_of_text_scale(what.scale));
}

void App::on(const SetPerson& what) {
    state_.person = what.person;
    if (what.kept) keep(person_key, id_of(what.person));
}

void App::on(const SetAloud& what) {
    state_.aloud = what.on;
    keep(aloud_key, id_of_switch(what.on));
    read_.clear();
}

void App::on(const SetLearning& what) {
    state_.learning = what.on;
    keep(learning_key, id_of_switch(what.on));
}

void App::on(const SetGlass& what) {
    state_.glass_percent = std::clamp(what.percent, least_glass_percent, most_glass_percent);
    keep(glass_key, std::to_string(state_.glass_percent));
}

void App::on(const SetBy& what) {
    state_.by = what.by;
    keep(by_key, what.by);
}

} // namespace beckhand

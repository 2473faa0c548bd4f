// Start, frame, and the one way in which an event is saved. What each intent does stands in
// update_site.cpp and update_visit.cpp.
#include "app/app.h"

#include <cstdlib>
#include <utility>

#include "app/aloud/aloud.h"
#include "app/settings.h"

namespace beckhand {

App::App(const Pack& pack, Services services)
    : newest_(pack), pack_(pack), model_(pack), services_(std::move(services)) {
    state_.minutes_ahead = services_.minutes_ahead;
    state_.device_sheet = static_cast<bool>(services_.device_sheet);
}

void App::start() {
    const Result<Settings> settings = read_settings(*services_.store);
    if (settings) {
        state_.units = settings->units;
        state_.theme = settings->theme;
        state_.text_scale = settings->text_scale;
        state_.glass_percent = settings->glass_percent;
        state_.by = settings->by;
        state_.person = settings->person;
        state_.learning = settings->learning;
        state_.aloud = settings->aloud && services_.read_aloud;
    } else {
        state_.trouble = settings.error();
    }
    reload();
    const Result<std::optional<std::string>> open = services_.store->open_visit();
    if (!open) {
        state_.trouble = open.error();
    } else if (*open) {
        on(ResumeVisit{**open});
    }
    tell_notice();
}

void App::tell_notice() {
    if (std::optional<Problem> notice = services_.store->notice()) {
        state_.notice = std::move(*notice);
    }
}

bool App::frame(kit::Kit& kit) {
    kit.set_theme(state_.theme);
    if (state_.screen == Screen::codes) state_.codes.number = frame_at(state_.codes, services_.now());
    const std::optional<Intent> did = view(state_, pack_, kit);
    if (did) act(*did);
    else if (kit.settled()) read_aloud(kit);
    return did.has_value();
}

void App::read_aloud(const kit::Kit& kit) {
    const bool asked = std::exchange(to_read_, false);
    if (!services_.read_aloud || (!asked && !state_.aloud)) return;
    const bool in_visit = state_.screen == Screen::visit && !state_.trouble && !state_.notice;
    std::string here = in_visit ? state_.visit_id + ' ' + std::to_string(state_.events.size()) : "";
    const bool another = in_visit && here != read_;
    read_ = std::move(here);
    if (!asked && !another) return;
    const Outcome read = services_.read_aloud(read_out(kit.controls()));
    if (read) return;
    state_.aloud = false;
    state_.trouble = read.error();
}

void App::on(const ReadAloud&) { to_read_ = true; }

void App::act(const Intent& intent) {
    if (state_.saving) return;
    std::visit([this](const auto& what) { on(what); }, intent);
}

void App::use_pack(const Pack& pack) {
    if (pack.hash == pack_.hash) return;
    pack_ = pack;
    model_ = Model(pack_);
}

void App::use_pack_of(const std::vector<Event>& events) {
    const Visit visit = fold(events);
    const Pack* const own = services_.pack_of && !visit.pack_hash.empty() ? services_.pack_of(visit.pack_hash) : nullptr;
    use_pack(own != nullptr ? *own : newest_);
    const bool gone = own == nullptr && services_.pack_of && !visit.pack_hash.empty();
    if (gone && visit.pack_hash != newest_.hash && !visit.closed) {
        state_.notice = Problem{"",
                                "This visit was begun with pack " + visit.pack_version +
                                    ", which is not here. It goes on with pack " + newest_.version + ".",
                                ""};
    }
}

Event App::stamped(int number, Happening what, const std::string& by) const {
    Event event;
    event.number = number;
    event.at = services_.now();
    event.by = by.empty() ? std::string(default_by) : by;
    event.what = std::move(what);
    return event;
}

void App::append(std::string visit_id, std::vector<Event> events, Happening what, std::vector<Happening> rest) {
    const Event event = stamped(fold(events).next_number, std::move(what), state_.by);
    events.push_back(event);
    Scene scene = scene_for(fold(events));
    const std::string headline = headline_of(pack_, scene);

    // The completion may come before commit() returns or after many frames. Until then the state stays as
    // it is, and so does the screen.
    state_.saving = true;
    services_.store->commit(
        visit_id, event, headline,
        [this, visit_id, moved = std::move(events), next = std::move(scene),
         rest = std::move(rest)](const Outcome& outcome) mutable {
            state_.saving = false;
            if (outcome) {
                turn_to(std::move(visit_id), std::move(moved), std::move(next));
                tell_notice();
                if (rest.empty()) return;
                Happening first = std::move(rest.front());
                rest.erase(rest.begin());
                append(state_.visit_id, state_.events, std::move(first), std::move(rest));
                return;
            }
            state_.trouble = outcome.error();
            // A failed write may still have reached the disk: what the log holds is what counts.
            const Result<std::vector<Event>> held = services_.store->events(visit_id);
            if (held && visit_id == state_.visit_id && held->size() > state_.events.size()) {
                turn_to(visit_id, *held, scene_for(fold(*held)));
            }
        });
}

void App::keep(const std::string& key, const std::string& value) {
    services_.store->save_setting(key, value, [this](const Outcome& outcome) {
        if (!outcome) state_.trouble = outcome.error();
    });
}

void App::reload() {
    if (const auto standing = bundle::read_standing(*services_.store)) state_.hand_overs = standing->hand_overs;
    Result<std::vector<SiteRow>> sites = services_.store->sites();
    if (sites) {
        state_.sites = std::move(*sites);
    } else {
        state_.trouble = sites.error();
    }
    Result<std::vector<VisitRow>> visits = services_.store->visits();
    if (visits) {
        state_.log = std::move(*visits);
    } else {
        state_.trouble = visits.error();
    }
    note_histories();
}

} // namespace beckhand

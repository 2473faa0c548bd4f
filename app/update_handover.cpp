// What pressing does while a site is handed on: the brief, who takes it, the read-back, the paper, the receipt.
// Each step of it is an event of the visit that is open, or of one that is opened for it alone.
#include "app/app.h"

#include <algorithm>
#include <utility>

#include "app/handover/brief_pdf.h"
#include "app/handover/gather.h"
#include "app/handover/read_back.h"
#include "app/settings.h"

namespace beckhand {
namespace {

using Page = HandoverOnScreen::Page;

constexpr const char* site_gone = "This site is not in the log.";
constexpr const char* site_gone_todo = "Go back to the list of sites.";
constexpr const char* cannot_save = "There is no place here to save a paper.";
constexpr const char* cannot_save_todo = "Read it from the screen, or use `beckhand brief` with --pdf.";

/// Everybody but `self` who did something at this site, in the order met.
std::vector<std::string> others_at(const BriefSource& source, const std::string& self) {
    std::vector<std::string> names;
    const auto add = [&](const std::vector<Event>& events) {
        for (const Event& event : events) {
            const bool had = std::find(names.begin(), names.end(), event.by) != names.end();
            if (!had && !event.by.empty() && event.by != self) names.push_back(event.by);
        }
    };
    add(source.open_events);
    for (const std::vector<Event>& events : source.visits) add(events);
    return names;
}

/// Opened to hand the site on: nothing was asked in it, so nothing goes on.
bool for_handover_alone(const Visit& visit) {
    return visit.handover && !visit.began && visit.answers.empty() && visit.as_found.empty();
}

/// Letters and digits of a name, for a file's name.
std::string plain_name(const std::string& name) {
    std::string plain;
    for (const char c : name) {
        const bool word = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
        plain += word ? c : '_';
    }
    return plain.empty() ? "site" : plain;
}

} // namespace

void App::on(const ShowBrief& what) {
    reload();
    const SiteRow* const row = find_site(state_, what.site_id);
    if (!row) {
        state_.trouble = Problem{"", site_gone, site_gone_todo};
        return;
    }
    const Store& store = *services_.store;
    const std::string self = state_.by.empty() ? std::string(default_by) : state_.by;
    const Outlook* const outlook = outlook_of(row->site);
    const Result<BriefSource> source =
        gather_brief(store, pack_, model_, *row, {state_.units, state_.minutes_ahead, services_.now(), self, outlook});
    if (!source) {
        state_.trouble = source.error();
        return;
    }
    const Result<std::string> carrier = handover_visit_of(store, row->id);
    if (!carrier) {
        state_.trouble = carrier.error();
        return;
    }
    HandoverOnScreen on_screen;
    on_screen.brief = brief_of(pack_, model_, *source);
    on_screen.names = others_at(*source, self);
    if (!carrier->empty()) {
        Result<std::vector<Event>> events = store.events(*carrier);
        if (!events) {
            state_.trouble = events.error();
            return;
        }
        const Visit visit = fold(*events);
        on_screen.visit_id = *carrier;
        on_screen.handover = visit.handover;
        on_screen.goes_on = !visit.closed && !for_handover_alone(visit);
        on_screen.to = visit.handover ? visit.handover->to : "";
        on_screen.events = std::move(*events);
    }
    state_.handover = std::move(on_screen);
    state_.entry.reset();
    state_.how_open = false;
    state_.site_id = what.site_id;
    state_.screen = Screen::handover;
}

void App::on(const ShowHandoverPage& what) { state_.handover.page = what.page; }

void App::on(const NameReceiver& what) { state_.handover.to = what.to; }

void App::append_handover(Happening what, const std::string& by, std::function<void()> then) {
    Event event = stamped(fold(state_.handover.events).next_number, std::move(what), by);
    std::vector<Event> events = state_.handover.events;
    events.push_back(event);
    const std::string id = state_.handover.visit_id;
    Scene scene = scene_for(fold(events));
    const std::string headline = headline_of(pack_, scene);
    state_.saving = true;
    services_.store->commit(id, event, headline,
                            [this, id, moved = std::move(events), next = std::move(scene),
                             go_on = std::move(then)](const Outcome& outcome) mutable {
                                state_.saving = false;
                                if (!outcome) {
                                    state_.trouble = outcome.error();
                                    return;
                                }
                                state_.handover.handover = next.visit.handover;
                                state_.handover.events = moved;
                                if (state_.visit_id == id) { // the visit behind this screen moves on with it
                                    state_.events = std::move(moved);
                                    state_.scene = std::move(next);
                                }
                                if (go_on) go_on();
                            });
}

void App::on(const HandOn&) {
    const SiteRow* const row = find_site(state_, state_.site_id);
    if (!row || state_.handover.to.empty()) return;
    const auto offer = [this] {
        append_handover(Offered{state_.handover.to}, state_.by, [this] {
            state_.handover.wrong.clear();
            state_.handover.page = Page::read_back;
        });
    };
    if (!state_.handover.events.empty() && !fold(state_.handover.events).closed) {
        offer();
        return;
    }
    state_.handover.visit_id = new_id(services_.random());
    state_.handover.events.clear();
    append_handover(opening_of(row->id, row->site, pack_.version, pack_.hash), state_.by, offer);
}

void App::on(const SayBack& what) {
    HandoverOnScreen& now = state_.handover;
    if (!now.handover || now.handover->read_back() || !now.wrong.empty()) return;
    const ReadBackQuestion question =
        read_back_question(pack_, now.brief, now.handover->next_topic(), now.handover->said_back.size());
    const bool right = what.answer == question.right;
    append_handover(SaidBack{question.topic, right}, now.handover->to, [this, right, topic = question.topic] {
        if (!right) state_.handover.wrong = topic;
        if (!state_.handover.handover->read_back()) return;
        state_.handover.page = Page::done;
        const Visit visit = fold(state_.handover.events);
        if (for_handover_alone(visit) && !visit.closed) append_handover(Closed{Closing::handed_on}, state_.by, {});
    });
}

void App::on(const ReadLine&) { state_.handover.wrong.clear(); }

void App::on(const SavePaper&) {
    const SiteRow* const row = find_site(state_, state_.site_id);
    if (!row) return;
    if (!services_.save_file) {
        state_.trouble = Problem{"", cannot_save, cannot_save_todo};
        return;
    }
    const Result<BriefPaper> paper = brief_paper(state_.handover.brief, row->site);
    const Result<std::string> saved =
        paper ? services_.save_file("brief_" + plain_name(row->site.name) + ".pdf", paper->bytes)
              : Result<std::string>(paper.error());
    if (saved) state_.handover.saved = *saved;
    else state_.trouble = saved.error();
}

void App::on(const ReceiptBack&) {
    if (!state_.handover.handover || state_.handover.handover->received()) return;
    append_handover(Received{state_.handover.handover->to}, state_.by, {});
}

void App::back_from_handover() {
    HandoverOnScreen& now = state_.handover;
    if (now.page == Page::who || now.page == Page::read_back) {
        now.wrong.clear();
        now.page = Page::brief;
        return;
    }
    const bool visit_behind = state_.visit_id == now.visit_id && now.goes_on && !now.visit_id.empty();
    if (visit_behind) {
        on(ResumeVisit{now.visit_id});
    } else {
        on(ShowSite{state_.site_id});
    }
}

} // namespace beckhand

// Measuring with what the hand has: choosing the way, strikes and figures, the microphone, and handing the figure on to
// where it was asked for.
#include "app/app.h"

#include <algorithm>
#include <utility>

#include "app/entry.h"
#include "engine/diagnosis/derived.h"
#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

constexpr double tell_again = 2.0;            // seconds of new sound between two looks for the beat
constexpr std::size_t most_struck = 400;      // taps kept: over two minutes at 180

} // namespace

void App::on(const HelpMeasure&) {
    std::string wanted = state_.entry ? state_.entry->field : "";
    if (state_.screen == Screen::visit && state_.scene.measurement) wanted = pack_.measurements[*state_.scene.measurement].id;
    const std::vector<Way> ways = ways_to(wanted);
    if (ways.empty()) return;
    state_.measuring = MeasuringOnScreen{};
    state_.measuring.wanted = std::move(wanted);
    state_.measuring_for = state_.screen;
    state_.entry.reset();
    state_.screen = Screen::measuring;
    if (ways.size() == 1) on(ChooseWay{ways.front()});
}

void App::on(const ChooseWay& what) {
    if (state_.screen != Screen::measuring) return;
    MeasuringOnScreen fresh;
    fresh.wanted = state_.measuring.wanted;
    fresh.way = what.way;
    state_.measuring = std::move(fresh);
    state_.how_open = true;
    listening_.reset();
}

void App::on(const ChooseOption& what) { state_.measuring.option = what.option; }

void App::on(const Struck& what) {
    std::vector<double>& struck = state_.measuring.struck;
    for (const double at : what.at) {
        if (struck.empty() || at > struck.back()) struck.push_back(at);
    }
    if (struck.size() > most_struck) struck.erase(struck.begin(), struck.end() - static_cast<std::ptrdiff_t>(most_struck));
}

void App::on(const TypeSlot& what) {
    for (const Slot& slot : slots_of(state_.measuring)) {
        if (slot.key != what.key) continue;
        Entry entry;
        entry.field = what.key;
        const auto typed = state_.measuring.typed.find(what.key);
        if (typed != state_.measuring.typed.end()) entry.text = format_number(slot.kind, typed->second, state_.units);
        state_.entry = std::move(entry);
    }
}

void App::on(const ForgetLast&) {
    std::vector<double>& struck = state_.measuring.struck;
    if (struck.empty()) return;
    // Of the bucket a whole fill, or the start of one.
    if (state_.measuring.way == Way::bucket && struck.size() % 2 == 0) struck.pop_back();
    struck.pop_back();
}

void App::on(const StartOver&) {
    if (state_.measuring.way) on(ChooseWay{*state_.measuring.way});
}

void App::back_from_measuring() {
    if (state_.entry) {
        state_.entry.reset();
        return;
    }
    const bool choice = ways_to(state_.measuring.wanted).size() > 1;
    if (state_.measuring.way && choice) {
        state_.measuring.way.reset();
        state_.measuring.struck.clear();
        listening_.reset();
        return;
    }
    return_from_measuring();
}

void App::return_from_measuring() {
    listening_.reset();
    const std::string wanted = state_.measuring.wanted;
    if (state_.measuring_for == Screen::visit) {
        turn_to(state_.visit_id, state_.events, scene_for(fold(state_.events)));
        return;
    }
    state_.screen = state_.measuring_for;
    if (state_.screen == Screen::round) on(TakeFigure{wanted});
    else on(EditField{wanted});
}

void App::on(const UseMeasured&) {
    if (state_.screen != Screen::measuring) return;
    const MeasuredFigure made = figure_of(state_.measuring, state_.units);
    if (!made.value_si) return;
    const std::string wanted = state_.measuring.wanted;
    const auto refuse = [this](const std::string& range) { state_.measuring.trouble = "That cannot be right: it is from " + range + "."; };
    if (state_.measuring_for == Screen::site_edit) {
        for (const SiteField& field : site_fields()) {
            if (field.key != wanted) continue;
            const double least = field.least * field.si_per_unit, most = field.most * field.si_per_unit;
            if (*made.value_si < least || *made.value_si > most) return refuse(range_text(figure_of(field), least, most, state_.units));
            field.set_si(state_.draft, made.value_si);
        }
        listening_.reset();
        state_.screen = Screen::site_edit;
        state_.entry.reset();
        return;
    }
    const Measurement* const how = find_measurement(pack_, wanted);
    if (how == nullptr) return;
    if (*made.value_si < how->least || *made.value_si > how->most) return refuse(range_text(figure_of(*how), how->least, how->most, state_.units));
    Measured taken{wanted, *made.value_si, made.ready ? Care::careful : Care::sloppy, 0};
    if (made.error_si > error_of(*how, taken)) taken.error_si = made.error_si;
    listening_.reset();
    if (state_.measuring_for == Screen::round) {
        state_.round.figures[wanted] = taken;
        state_.screen = Screen::round;
        state_.entry.reset();
        return;
    }
    append(state_.visit_id, state_.events, taken);
}

bool App::wants_sound() const {
    return state_.screen == Screen::measuring && state_.measuring.way == Way::by_ear && !state_.trouble && !state_.notice;
}

void App::hear(std::span<const float> samples, double samples_per_second) {
    if (!wants_sound() || samples.empty()) return;
    if (!listening_ || listening_->samples_per_second != samples_per_second) {
        listening_.emplace(Listening{Ear(samples_per_second), samples_per_second, 0});
    }
    Listening& now = *listening_;
    now.ear.hear(samples);
    HearingOnScreen& shown = state_.measuring.hearing;
    shown.open = true;
    shown.trouble.clear();
    shown.seconds += static_cast<double>(samples.size()) / samples_per_second;
    shown.level = now.ear.level();
    if (shown.seconds - now.told_at < tell_again) return;
    now.told_at = shown.seconds;
    shown.heard = now.ear.beat();
}

void App::cannot_hear(const std::string& why) {
    if (!wants_sound()) return;
    state_.measuring.hearing = HearingOnScreen{};
    state_.measuring.hearing.trouble = why;
}

} // namespace beckhand

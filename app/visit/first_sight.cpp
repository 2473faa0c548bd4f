// What is seen on arrival, told before anything is asked. Several may be told; a second press takes one back.
// Two answers to one question (the valve hangs open, it rests shut) take each other's place; sights of a pump that runs
// and of one that stands are pointed out, and it goes on once the person has said which.
#include <algorithm>

#include "app/visit/drawn.h"
#include "app/visit/sights.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* ask = "What do you see or hear first?";
constexpr const char* several = "Press all that fit, then go on.";
constexpr const char* something_else = "Something else";
constexpr const char* go_on = "Go on";
constexpr const char* not_with = "Cannot be together with: ";
constexpr const char* press_wrong_one = ". Press the one that is not so.";
constexpr const char* at_this_site = "At this site";
constexpr const char* way_and_dangers = "The way there, and its dangers: ";
constexpr const char* call_words = "When it goes wrong, call: ";

/// Told and still holding: beside others where its observation may have several answers.
bool told(const Visit& visit, const Pack& pack, const Pointed& means) {
    const Observation* const observation = find_observation(pack, means.observation);
    const Answered* const latest = visit.answer_to(means.observation);
    if (!observation || !observation->several) return latest && latest->answer == means.answer;
    return std::any_of(visit.told.begin(), visit.told.end(), [&](const Answered& one) {
        return one.observation == means.observation && one.answer == means.answer;
    });
}

/// The event that told this, to take it back by its number.
std::optional<int> told_by(const State& state, const Pointed& means) {
    std::optional<int> number;
    for (const Event& event : state.events) {
        const auto* const one = std::get_if<Answered>(&event.what);
        if (one && one->observation == means.observation && one->answer == means.answer) number = event.number;
    }
    return number;
}

/// A sight that was told and cannot be together with this one; null where there is none.
const FirstSight* other_told(const Visit& visit, const Pack& pack, const FirstSight& sight) {
    for (const FirstSight& other : pack.first_sights) {
        if (told(visit, pack, other.means) && exclude_each_other(pack, sight, other)) return &other;
    }
    return nullptr;
}

/// What the site's own sheet warns of, before anything else: for whoever does not know the place.
void warn_of_site(const State& state, kit::Kit& kit) {
    if (state.scene.visit.person == Person::keeper) return;
    const SiteRow* const row = find_site(state, state.scene.visit.site_id);   // the visit itself holds no free words
    if (row == nullptr) return;
    const std::string &access = row->site.access, &call = row->site.call;
    std::string words = access.empty() ? "" : way_and_dangers + access;
    if (!words.empty() && words.back() != '.' && words.back() != '!') words += '.';
    if (!call.empty()) words += (words.empty() ? "" : " ") + (call_words + call);
    if (!words.empty()) kit.card(kit::Tone::watch, at_this_site, words);
}

} // namespace

std::optional<Intent> first_sight_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const bool wide = kit.metrics().wide;
    // A wide glass just holds them all when the hint stands in the heading.
    kit.begin_screen("first_sight", state.scene.visit.site.name, wide ? several : "");
    kit.main();   // so many answers need the whole width; nothing is asked of a part yet
    say_taken_back(state, pack, kit);
    if (const auto now = answers_now(state, kit)) did = now;
    warn_of_site(state, kit);
    kit.words(kit::Type::question, ask);
    if (!wide) kit.words(kit::Type::body, several);
    bool clash = false;
    for (const FirstSight& sight : pack.first_sights) {
        const bool chosen = told(state.scene.visit, pack, sight.means);
        const std::string id = "sight_" + sight.means.observation + "_" + sight.means.answer;
        // Beside drawings the words would take a line more, and a wide glass would have to scroll.
        const bool pressed = wide ? kit.answer(id, sight.say, chosen) : drawn_answer(kit, id, sight.say, sight.means, chosen);
        if (const FirstSight* const other = chosen ? other_told(state.scene.visit, pack, sight) : nullptr) {
            kit.words(kit::Type::small, not_with + other->say + press_wrong_one, kit::Tone::watch);
            clash = true;
        }
        if (!pressed) continue;
        const std::optional<int> number = chosen ? told_by(state, sight.means) : std::nullopt;
        if (number) did = Say{TookBack{*number}};
        else did = Say{Answered{sight.means.observation, sight.means.answer, true}};
    }
    const bool any = !state.scene.visit.answers.empty();
    if (!any && kit.answer("something_else", something_else)) did = Say{Began{}};
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (kit.bar_button("go_on", go_on, kit::Slot::right, any && !clash, true)) did = Say{Began{}};
    kit.end_screen();
    return did;
}

} // namespace beckhand

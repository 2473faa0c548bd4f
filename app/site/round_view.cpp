// A round at a site that is running: the figures that the trend lives on, and the routine work that was
// done. Nothing is looked for, and all of it is saved together.
#include "app/entry.h"
#include "app/measuring/measuring_views.h"
#include "app/site/round.h"
#include "app/site/site_views.h"

namespace beckhand {
namespace {

constexpr const char* title = "Round";
constexpr const char* figures_heading = "Figures taken";
constexpr const char* work_heading = "Work done";
constexpr const char* not_taken = "not taken";
constexpr const char* with_care = "Taken with care, as described";
constexpr const char* leave_empty = "Leave it empty when it was not taken.";
constexpr const char* save = "Save";

std::optional<Intent> figure_keypad(const State& state, const Pack& pack, const Wanted& wanted, kit::Kit& kit) {
    std::optional<Intent> did;
    const Measurement* const how = find_measurement(pack, state.entry->field);
    kit.begin_screen("round_figure", title);
    kit.side();
    kit.words(kit::Type::question, how != nullptr ? how->ask : wanted.title);
    for (const std::string& id : how != nullptr ? how->cautions : std::vector<std::string>{}) {
        if (const Caution* const caution = find_caution(pack, id)) kit.words(kit::Type::small, "Mind: " + caution->title + ".");
    }
    kit.words(kit::Type::small, leave_empty);
    kit.main();
    char digit = 0;
    const kit::KeypadPress press = kit.keypad("figure", typed_of(*state.entry, wanted, state.units), digit, "Set");
    if (press != kit::KeypadPress::none) did = Press{press, digit};
    const bool careful = state.entry->care == Care::careful;
    if (kit.tick("care", with_care, careful)) did = ChooseCare{careful ? Care::sloppy : Care::careful};
    if (how != nullptr) kit.words(kit::Type::small, how->how);
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    if (const auto help = help_in_bar(kit, state.entry->field)) did = help;
    kit.end_screen();
    return did;
}

} // namespace

std::optional<Intent> round_view(const State& state, const Pack& pack, kit::Kit& kit) {
    if (const std::optional<Wanted> wanted = wanted_of(state, pack)) return figure_keypad(state, pack, *wanted, kit);
    std::optional<Intent> did;
    std::string name = title;
    if (const SiteRow* const row = find_site(state, state.site_id)) name += ": " + row->site.name;
    kit.begin_screen("round", name);
    kit.main();
    kit.words(kit::Type::heading, figures_heading);
    for (const char* const id : round_figures) {
        const Measurement* const how = find_measurement(pack, id);
        if (how == nullptr) continue;
        const auto taken = state.round.figures.find(id);
        const bool there = taken != state.round.figures.end();
        if (kit.row(std::string("take_") + id, how->name, "",
                    there ? format_measured(*how, taken->second.value_si, state.units) : not_taken,
                    there ? kit::Tone::good : kit::Tone::unknown)) {
            did = TakeFigure{id};
        }
    }
    kit.words(kit::Type::heading, work_heading);
    for (const Service* service : services_by_due(state, pack)) {
        if (kit.tick("service_" + service->id, service->name, state.round.services.contains(service->id)))
            did = TickService{service->id};
    }
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    const bool something = !state.round.figures.empty() || !state.round.services.empty();
    if (kit.bar_button("save", save, kit::Slot::right, something, true)) did = SaveRound{};
    kit.end_screen();
    return did;
}

} // namespace beckhand

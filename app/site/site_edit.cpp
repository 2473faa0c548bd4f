// The form of a site: one row a figure, each opened by a press and typed on the keypad. Nothing is a must
// but the name; nothing is saved before Save.
#include <utility>

#include "app/entry.h"
#include "app/figures.h"
#include "app/kit/installation.h"
#include "app/measuring/measuring_views.h"
#include "app/site/site_views.h"
#include "engine/records/event_json.h"
#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

constexpr const char* new_title = "New site";
constexpr const char* name_words = "Name of the site";
constexpr const char* access_words = "The way there, and its dangers";
constexpr const char* call_words = "Who to call when it goes wrong";
constexpr const char* material_title = "Drive pipe: material";
constexpr const char* south_words = "South of the equator: seasons half a year later";
constexpr const char* not_known = "not known";
constexpr const char* leave_empty = "Leave it empty if nobody has measured it.";
constexpr const char* throw_away = "Throw the changes away";
constexpr float throw_away_seconds = 2.0f;
constexpr const char* material_key = "drive_material";

Site saved_site(const State& state) {
    const SiteRow* const row = state.draft_is_new ? nullptr : find_site(state, state.site_id);
    return row != nullptr ? row->site : Site{};
}

/// "Fall" over "water level down to the waste valve" where the whole title would wrap on a phone.
std::pair<std::string, std::string> title_in_two(const std::string& title) {
    constexpr std::size_t one_line = 18;
    const std::size_t colon = title.find(": ");
    if (title.size() <= one_line || colon == std::string::npos) return {title, ""};
    return {title.substr(0, colon), title.substr(colon + 2)};
}

std::string_view part_of(std::string_view key) {
    if (key.starts_with("fall")) return "fall";
    if (key.starts_with("lift")) return "lift";
    if (key.starts_with("drive")) return "drive_pipe";
    if (key.starts_with("delivery")) return "delivery";
    if (key.starts_with("vessel")) return "air_vessel";
    if (key.starts_with("source")) return "intake";
    return "";
}

std::optional<Intent> keypad_view(const State& state, const Wanted& wanted, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("site_figure", state.draft.name.empty() ? new_title : state.draft.name);
    kit.side();
    const bool roomy = kit.metrics().wide || kit.metrics().tablet; // else the keys below must stand in view
    kit.words(roomy ? kit::Type::question : kit::Type::heading, wanted.title);
    if (roomy) kit.words(kit::Type::small, leave_empty);
    // A phone has no room for the drawing beside the keys.
    if (roomy) {
        kit::draw_installation(kit, state.draft, part_of(state.entry->field), state.units, 0.0f);
    }
    kit.main();
    char digit = 0;
    const kit::KeypadPress press =
        kit.keypad("figure", typed_of(*state.entry, wanted, state.units), digit, "Set");
    if (press != kit::KeypadPress::none) did = Press{press, digit};
    if (!roomy) kit.words(kit::Type::small, leave_empty);
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    if (const auto help = help_in_bar(kit, state.entry->field)) did = help;
    kit.end_screen();
    return did;
}

std::optional<Intent> material_view(const State& state, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("site_material", state.draft.name.empty() ? new_title : state.draft.name);
    kit.main();
    kit.words(kit::Type::question, material_title);
    for (const PipeMaterial material : all_pipe_materials()) {
        if (kit.answer(id_of(material), words_of(material), state.draft.drive_material == material)) {
            did = ChooseMaterial{material};
        }
    }
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    kit.end_screen();
    return did;
}

} // namespace

std::optional<Intent> site_edit_view(const State& state, const Pack& pack, kit::Kit& kit) {
    if (const std::optional<Wanted> wanted = wanted_of(state, pack)) return keypad_view(state, *wanted, kit);
    if (state.entry && state.entry->field == material_key) return material_view(state, kit);

    std::optional<Intent> did;
    const bool changed = to_json(state.draft) != to_json(saved_site(state));
    kit.begin_screen("site_edit", state.draft_is_new ? new_title : state.draft.name);
    kit.main();
    std::string name = state.draft.name;
    if (kit.text_field("name", name_words, name)) did = EditText{"name", name};
    std::string access = state.draft.access;
    if (kit.text_field("access", access_words, access)) did = EditText{"access", access};
    std::string call = state.draft.call;
    if (kit.text_field("call", call_words, call)) did = EditText{"call", call};
    for (const SiteField& field : site_fields()) {
        const std::optional<double> si = field.si(state.draft);
        const std::string figure = si ? format_figure(figure_of(field), *si, state.units) : not_known;
        const auto [row_title, below] = title_in_two(title_of(field));
        if (kit.row(field.key, row_title, below, figure, si ? kit::Tone::plain : kit::Tone::unknown)) {
            did = EditField{std::string(field.key)};
        }
        if (field.key != "drive_wall_mm") continue;
        const auto& material = state.draft.drive_material;
        if (kit.row(material_key, material_title, "", material ? words_of(*material) : not_known,
                    material ? kit::Tone::plain : kit::Tone::unknown)) {
            did = EditField{material_key};
        }
    }
    const bool south = state.draft.hemisphere == Hemisphere::south;
    if (kit.tick("hemisphere", south_words, south)) {
        did = EditText{"hemisphere", std::string(id_of(south ? Hemisphere::north : Hemisphere::south))};
    }
    if (changed && kit.hold("throw_away", throw_away, throw_away_seconds)) did = Back{};
    kit.bar();
    // With something to lose, leaving takes the hold above; without, it is one press.
    if (kit.bar_button("back", "Back", kit::Slot::left, !changed)) did = Back{};
    if (kit.bar_button("save", "Save", kit::Slot::right, changed && !state.draft.name.empty(), true)) did = SaveDraft{};
    kit.end_screen();
    return did;
}

} // namespace beckhand

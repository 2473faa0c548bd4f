// The figure being typed, as values.
#include "app/entry.h"

#include "app/figures.h"

namespace beckhand {
namespace {

constexpr std::size_t longest_entry = 12;   // "5 ft 11 1/2" and a little

constexpr const char* from = "From ";
constexpr const char* nothing_typed = "Type a figure first.";
constexpr const char* not_likely = "That cannot be right.";

Units typed_units(const Entry& entry, Units units) {
    if (!entry.other_unit) return units;
    return units == Units::metric ? Units::us : Units::metric;
}

} // namespace

std::optional<Wanted> wanted_of(const State& state, const Pack& pack) {
    if (!state.entry) return std::nullopt;
    if (state.screen == Screen::site_edit) {
        for (const SiteField& field : site_fields()) {
            if (field.key != state.entry->field) continue;
            return Wanted{title_of(field), figure_of(field), field.least * field.si_per_unit,
                          field.most * field.si_per_unit, true};
        }
        return std::nullopt;
    }
    if (state.screen == Screen::round) {
        const Measurement* const taken = find_measurement(pack, state.entry->field);
        if (taken == nullptr) return std::nullopt;
        return Wanted{taken->name, figure_of(*taken), taken->least, taken->most, true};
    }
    if (state.screen == Screen::measuring) {
        for (const Slot& slot : slots_of(state.measuring)) {
            if (slot.key == state.entry->field) return Wanted{slot.title, slot.kind, slot.least_si, slot.most_si, true};
        }
        return std::nullopt;
    }
    if (state.screen != Screen::visit || !state.scene.measurement) return std::nullopt;
    const Measurement& measurement = pack.measurements[*state.scene.measurement];
    return Wanted{measurement.name, figure_of(measurement), measurement.least, measurement.most, false};
}

kit::Typed typed_of(const Entry& entry, const Wanted& wanted, Units units) {
    const Units shown = typed_units(entry, units);
    const Units other = shown == Units::metric ? Units::us : Units::metric;
    kit::Typed typed;
    typed.text = entry.text;
    typed.unit = unit_word(wanted.kind, shown);
    if (unit_word(wanted.kind, other) != typed.unit) typed.other_unit = unit_word(wanted.kind, other);
    typed.wrong = !entry.trouble.empty();
    typed.note = typed.wrong ? entry.trouble
                             : from + range_text(wanted.kind, wanted.least_si, wanted.most_si, shown);
    return typed;
}

Entry with_key(Entry entry, const Press& press) {
    using enum kit::KeypadPress;
    switch (press.press) {
        case none:
        case accept: return entry;
        case digit:
            if (entry.text.size() < longest_entry) entry.text += press.digit;
            break;
        case erase:
            if (!entry.text.empty()) entry.text.pop_back();
            break;
        case clear: entry.text.clear(); break;
        case unit: entry.other_unit = !entry.other_unit; break;
    }
    entry.trouble.clear();
    return entry;
}

Result<std::optional<double>> accepted(const Entry& entry, const Wanted& wanted, Units units) {
    if (entry.text.empty()) {
        if (wanted.may_be_empty) return std::optional<double>();
        return Problem{wanted.title, nothing_typed, ""};
    }
    const Units shown = typed_units(entry, units);
    const Sign sign = wanted.least_si < 0 || wanted.kind == Figure::temperature ? Sign::any : Sign::not_negative;
    const Result<double> si = parse_figure(wanted.kind, entry.text, shown, sign);
    if (!si) return si.error();
    // A figure at the end of the range may miss it by the last bit after the change of units.
    const double slack = 1e-9 * (wanted.most_si - wanted.least_si);
    if (*si < wanted.least_si - slack || *si > wanted.most_si + slack) {
        return Problem{wanted.title, not_likely,
                       from + range_text(wanted.kind, wanted.least_si, wanted.most_si, shown) +
                           ". Check the point and the unit."};
    }
    return std::optional<double>(*si);
}

} // namespace beckhand

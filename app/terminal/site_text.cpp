#include "app/terminal/site_text.h"

#include "app/site/outlook_words.h"

namespace beckhand {
namespace {

const char* state_word(LimitState state) {
    switch (state) {
    case LimitState::kept: return "kept   ";
    case LimitState::near: return "near   ";
    case LimitState::broken: return "BROKEN ";
    case LimitState::unknown: return "unknown";
    }
    return "";
}

std::string limit_text(const Limit& limit, const LimitEffect* effect, Units units) {
    std::string text = std::string(state_word(limit.state)) + "  " + limit.name;
    text += limit.found.empty() ? "" : ": " + limit.found;
    text += limit.wanted.empty() ? "" : ", wanted " + limit.wanted;
    text += "\n";
    if (limit.state == LimitState::broken || limit.state == LimitState::near) {
        text += limit.by_how_much.empty() ? "" : "         By how much: " + limit.by_how_much + "\n";
        text += limit.at_the_pump.empty() ? "" : "         At the pump: " + limit.at_the_pump + "\n";
    }
    text += effect != nullptr ? "         Virtual pump: " + effect_words(*effect, units) + "\n" : "";
    return text + (limit.source.empty() ? "" : "         Source: " + limit.source + "\n");
}

template <class Q>
std::string expected_text(const char* name, const std::optional<Expected<Q>>& expected, Figure kind, Units units) {
    if (!expected) {
        return std::string("  ") + name + ": cannot be said from this sheet\n";
    }
    return std::string("  ") + name + ": " + format_figure(kind, expected->likely.si(), units) + " (" +
           format_figure(kind, expected->least.si(), units) + " to " + format_figure(kind, expected->most.si(), units) +
           ")  " + expected->basis + "\n";
}

} // namespace

std::string site_check_text(const Site& site, Units units, int& broken) {
    std::string text = (site.name.empty() ? std::string("Site check") : site.name) + "\n\n";
    broken = 0;
    const Result<Outlook> outlook = outlook_for(site);
    for (const Limit& limit : check_site(site, units)) {
        text += limit_text(limit, outlook ? effect_of(*outlook, limit.id) : nullptr, units);
        broken += limit.state == LimitState::broken ? 1 : 0;
    }
    const Expectation by_tables = expect(site);
    const Expectation expected = outlook ? with_pump(by_tables, site, *outlook) : by_tables;
    text += "\nWhat a sound pump should give here\n";
    text += expected_text("Drive flow", expected.drive_flow, Figure::flow, units);
    text += expected_text("Waste flow", expected.waste, Figure::flow, units);
    text += expected_text("Delivered at the tank", expected.delivered, Figure::flow, units);
    text += expected_text("Beat", expected.beat, Figure::beat, units);
    text += expected.pressure_stopped
                ? "  Pressure, stopped: " + format_pressure(*expected.pressure_stopped, units) + "\n"
                : "";
    text += expected_text("Pressure, running", expected.pressure_running, Figure::pressure, units);
    if (outlook) {
        text += outlook->sound ? "  Peak in the pump body: " + format_pressure(outlook->sound->peak, units) + ", an estimate\n" : "";
        for (const std::string& words : reliance_words(site, *outlook, units)) text += "  " + words + "\n";
        const std::vector<std::string> setting = setting_words(*outlook, units);
        text += setting.empty() ? "" : "\nSetting the waste valve\n";
        for (const std::string& words : setting) text += "  " + words + "\n";
    } else {
        text += "  The virtual pump cannot run: " + outlook.error().what + " " + outlook.error().todo + "\n";
    }
    text += broken == 0 ? "\nNo limit is broken.\n"
                        : "\n" + std::to_string(broken) + (broken == 1 ? " limit is broken.\n" : " limits are broken.\n");
    return text + "Water rights, works in the stream and pressure vessels are for your local rules and licensed trades.\n";
}

} // namespace beckhand

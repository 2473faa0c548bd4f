#include "app/terminal/pump_text.h"

#include <algorithm>
#include <cmath>
#include <locale>
#include <sstream>

#include <fast_float/fast_float.h>
#include <nlohmann/json.hpp>

#include "engine/nearest.h"
#include "engine/pump/ensemble.h"

namespace beckhand {
namespace {

constexpr std::uint64_t seed = 1; // the same question has the same answer

PumpSpread spread_of(const std::vector<PumpRun>& runs, const std::function<double(const PumpRun&)>& figure) {
    const std::vector<double> q = quantiles(runs, figure, {0.1, 0.5, 0.9});
    return q.size() == 3 ? PumpSpread{q[0], q[1], q[2]} : PumpSpread{};
}

std::string percent(double share) {
    return significant_text(100 * share, 2) + " %";
}

std::string line(const char* name, const std::string& value) {
    std::string text = std::string("  ") + name;
    text.resize(std::max<std::size_t>(text.size() + 1, 24), ' ');
    return text + value + "\n";
}

std::string seconds_text(double s) {
    return fixed_text(s, 1) + " s";
}

std::string rest_text(const PumpRun& r) {
    if (r.rest == ValveRest::runs) {
        return "beats by itself";
    }
    std::string text = r.rest == ValveRest::open ? "rests OPEN" : "rests SHUT";
    return text + (r.beats > 0 ? ", last beat at " + seconds_text(r.last_beat_s) : ", never beat");
}

std::string hand_text(int beats) {
    return beats == 0 ? "" : ", a hand freed it " + std::to_string(beats) + (beats == 1 ? " time" : " times");
}

/// Words under a line, broken between words so that a terminal need not.
std::string below_line(const std::string& words) {
    constexpr std::size_t wide = 84;
    const std::string indent(24, ' ');
    std::string text = indent;
    std::size_t column = 0;
    std::istringstream in(words);
    for (std::string word; in >> word;) {
        if (column > 0 && column + 1 + word.size() > wide) {
            text += "\n" + indent;
            column = 0;
        }
        text += (column > 0 ? " " : "") + word;
        column += word.size() + (column > 0 ? 1 : 0);
    }
    return text + "\n";
}

std::string against(const Expected<FlowRate>& e, FlowRate delivered, Units units) {
    const char* where = delivered < e.least ? "BELOW" : delivered > e.most ? "ABOVE" : "within";
    return std::string(where) + " the " + format_flow(e.least, units) + " to " + format_flow(e.most, units) +
           " that a sound pump should give here";
}

std::string spread_text(const char* name, const PumpSpread& s, Figure kind, Units units) {
    return line(name, format_figure(kind, s.low, units) + " to " + format_figure(kind, s.high, units) +
                          ", middle " + format_figure(kind, s.middle, units));
}

std::string mass_text(Mass m, Units units) {
    return units == Units::us ? significant_text(m.in(pounds)) + " lb"
                              : significant_text(m.in(kilograms)) + " kg";
}

std::string advice_text(const PumpAnswer& a, Units units) {
    if (!a.question.advise) {
        return "";
    }
    std::string text = "\nSetting that lifts most with the water the source gives";
    text += a.question.fault ? ", once the fault is put right\n" : "\n";
    if (!a.source_known) {
        return text + "  Cannot be said: the source's flow is not in the site file (source_flow_lpm).\n";
    }
    if (!a.setting) {
        return text +
               "  None found: at no stroke and weight tried does the pump run steadily on this source.\n";
    }
    const Setting& s = *a.setting;
    text += line("Stroke", format_bore(s.travel, units) + " of the waste valve");
    text += line("Weight", mass_text(s.load, units) + " pulling it open, weighed under water");
    text += line("Gives", format_flow(s.delivered, units) + " of " + format_flow(s.drive, units) + ", " +
                              format_beat(s.beat, units) + ", efficiency " + percent(s.efficiency));
    return text;
}

nlohmann::ordered_json spread_json(const PumpSpread& s) {
    return {{"p10", s.low}, {"p50", s.middle}, {"p90", s.high}};
}

const char* rest_word(ValveRest rest) {
    return rest == ValveRest::runs ? "runs" : rest == ValveRest::open ? "open" : "shut";
}

nlohmann::ordered_json run_json(const PumpRun& r) {
    return {{"valve", rest_word(r.rest)},
            {"beat_hz", r.beat.si()},
            {"beat_unsteadiness", r.beat_unsteadiness},
            {"beats", r.beats},
            {"hand_beats", r.hand_beats},
            {"last_beat_s", r.last_beat_s},
            {"drive_m3s", r.drive.si()},
            {"waste_m3s", r.waste.si()},
            {"delivered_m3s", r.delivered.si()},
            {"through_check_m3s", r.through_check.si()},
            {"header_spill_m3s", r.header_spill.si()},
            {"efficiency", r.efficiency},
            {"vessel_mean_pa", r.vessel_mean.si()},
            {"vessel_low_pa", r.vessel_low.si()},
            {"vessel_high_pa", r.vessel_high.si()},
            {"body_peak_pa", r.body_peak.si()},
            {"body_low_pa", r.body_low.si()},
            {"drive_peak_speed_m_s", r.drive_peak_speed.si()},
            {"line_full_share", r.line_full_share},
            {"cock_gushes", r.cock_gushes},
            {"header_drop_m", r.header_drop_m},
            {"air_in_drive_m3", r.air_in_drive_m3},
            {"water_gap_m3", r.book.gap()}};
}

} // namespace

Result<PumpFault> read_fault(const Pack& pack, const std::string& text) {
    const std::size_t equals = text.find('=');
    const std::string id = text.substr(0, equals);
    const Cause* const cause = find_cause(pack, id);
    if (cause == nullptr) {
        std::vector<std::string> known;
        for (const Cause& each : pack.causes) {
            known.push_back(each.id);
        }
        const std::string near = did_you_mean(id, known);
        return Problem{"--fault", "\"" + id + "\" is no cause of the pack.",
                       near.empty()
                           ? "Give the id of a cause, such as \"" + known.front() + "\"; --help lists them."
                           : near};
    }
    PumpFault fault{*cause};
    if (equals == std::string::npos)
        return fault;
    const char* const from = text.data() + equals + 1;
    const char* const end = text.data() + text.size();
    const auto read = fast_float::from_chars(from, end, fault.severity);
    if (read.ec != std::errc() || read.ptr != end || !(fault.severity >= 0 && fault.severity <= 1)) {
        return Problem{"--fault",
                       "The severity \"" + text.substr(equals + 1) + "\" is no number from 0 to 1.",
                       "Give 0 for sound, 1 for as bad as it gets: " + id + "=0.5."};
    }
    return fault;
}

Result<PumpAnswer> ask_pump(const Site& site, const PumpQuestion& question) {
    const Result<PumpDesign> sound = design_for(site);
    if (!sound)
        return sound.error();
    PumpAnswer a;
    a.site = site.name;
    a.question = question;
    a.design = *sound;
    if (question.fault) {
        const PumpFault& fault = *question.fault;
        if (const Outcome done = apply_effects(a.design, fault.cause.in_the_pump, fault.severity); !done)
            return done.error();
    }
    a.options = {.seconds = question.seconds,
                 .warm_up_seconds = std::min(15.0, question.seconds / 4),
                 .sample_every_seconds = question.sample_every_seconds};
    a.run = simulate(a.design, a.options);
    a.expected = expect(site).delivered;
    if (question.drawn > 0) {
        RunOptions many = a.options;
        many.seconds = std::min(60.0, question.seconds);
        many.reaches = ensemble_reaches;
        Dice dice(seed);
        const auto runs = simulate_many(draw_designs(a.design, usual_doubts(), question.drawn, dice), many);
        for (const PumpRun& r : runs) {
            a.stopped += r.rest == ValveRest::runs ? 0u : 1u;
        }
        a.beat = spread_of(runs, [](const PumpRun& r) { return r.beat.si(); });
        a.drive = spread_of(runs, [](const PumpRun& r) { return r.drive.si(); });
        a.waste = spread_of(runs, [](const PumpRun& r) { return r.waste.si(); });
        a.delivered = spread_of(runs, [](const PumpRun& r) { return r.delivered.si(); });
    }
    a.source_known = site.source_flow && site.source_flow->si() > 0;
    if (question.advise && a.source_known)
        a.setting = best_setting(*sound, *site.source_flow);
    return a;
}

std::string pump_text(const PumpAnswer& a, Units units) {
    const PumpRun& r = a.run;
    std::string text = (a.site.empty() ? std::string("Virtual pump") : a.site + ": virtual pump");
    text += ", " + significant_text(a.options.seconds) + " s\n";
    if (a.question.fault) {
        const PumpFault& fault = *a.question.fault;
        text += "With the fault " + fault.cause.id + ", severity " + significant_text(fault.severity) + "\n";
        text += fault.cause.in_the_pump.empty() ? fault.cause.not_in_the_pump + "\n" : "";
    } else {
        text += "Sound, as the site's figures and published rules make it\n";
    }
    text += "\n";
    text += line("Waste valve", rest_text(r) + hand_text(r.hand_beats));
    if (r.rest == ValveRest::runs) {
        text += line("Beat", format_beat(r.beat, units) +
                                 (r.beat_unsteadiness > 0.1 ? ", UNSTEADY" : ", steady") +
                                 " (time from beat to beat varies by " + percent(r.beat_unsteadiness) + ")");
    }
    text += line("Drive flow", format_flow(r.drive, units));
    text += line("Waste flow", format_flow(r.waste, units));
    text += line("Delivered", format_flow(r.delivered, units) +
                                  (a.expected ? ", " + against(*a.expected, r.delivered, units) : ""));
    if (a.expected)
        text += below_line("By " + a.expected->basis + ".");
    if (r.rest == ValveRest::runs) { // else what the vessel and the pipe give back counts as lifted
        text += line("Efficiency", percent(r.efficiency) + " (delivered x lift / drive flow x fall)");
    }
    text += line("Pressure in vessel", format_pressure(r.vessel_mean, units) + " in the mean, " +
                                           format_pressure(r.vessel_low, units) + " to " +
                                           format_pressure(r.vessel_high, units));
    text += line("Peak in pump body",
                 format_pressure(r.body_peak, units) + ", a needle of milliseconds: an estimate");
    if (r.line_full_share < 0.995)
        text += line("Delivery pipe", percent(r.line_full_share) + " full at the end");
    if (a.question.drawn > 0) {
        text += "\nSpread over what nobody has measured (friction, setting, losses, air): eight pumps in ten "
                "lie within\n";
        text += spread_text("Beat", a.beat, Figure::beat, units);
        text += spread_text("Drive flow", a.drive, Figure::flow, units);
        text += spread_text("Waste flow", a.waste, Figure::flow, units);
        text += spread_text("Delivered", a.delivered, Figure::flow, units);
        text += line("Stopped", std::to_string(a.stopped) + " of " + std::to_string(a.question.drawn));
    }
    text += advice_text(a, units);
    return text +
           "\nComputed, not measured; engine/pump/MODEL.md says where it misses. Before a hand goes near the "
           "pump: the\n"
           "waste valve shuts without warning, and vessel and pipes hold pressure after it has stopped. "
           "Pipes must\n"
           "bear the peak by their own rating; pressure vessels are for local rules and licensed trades.\n";
}

std::string pump_json(const PumpAnswer& a) {
    nlohmann::ordered_json json;
    json["site"] = a.site;
    json["fault"] = nullptr;
    if (a.question.fault) {
        json["fault"] = {{"id", a.question.fault->cause.id}, {"severity", a.question.fault->severity}};
    }
    json["seconds"] = a.options.seconds;
    json["warm_up_seconds"] = a.options.warm_up_seconds;
    json["reaches"] = a.options.reaches;
    json["run"] = run_json(a.run);
    json["expected_delivered"] = nullptr;
    if (a.expected) {
        json["expected_delivered"] = {{"least_m3s", a.expected->least.si()},
                                      {"likely_m3s", a.expected->likely.si()},
                                      {"most_m3s", a.expected->most.si()},
                                      {"basis", a.expected->basis}};
    }
    json["spread"] = nullptr;
    if (a.question.drawn > 0) {
        json["spread"] = {{"drawn", a.question.drawn},         {"stopped", a.stopped},
                          {"beat_hz", spread_json(a.beat)},    {"drive_m3s", spread_json(a.drive)},
                          {"waste_m3s", spread_json(a.waste)}, {"delivered_m3s", spread_json(a.delivered)}};
    }
    json["setting"] = nullptr;
    if (a.setting) {
        const Setting& s = *a.setting;
        json["setting"] = {{"travel_m", s.travel.si()},         {"load_kg", s.load.si()},
                           {"closing_share", s.closing_share},  {"drive_m3s", s.drive.si()},
                           {"delivered_m3s", s.delivered.si()}, {"beat_hz", s.beat.si()},
                           {"efficiency", s.efficiency}};
    }
    PumpDesign design = a.design;
    for (const std::string_view name : parameter_names()) {
        json["design"][std::string(name)] = *parameter(design, name);
    }
    return json.dump(2) + "\n";
}

std::string pump_csv(const PumpAnswer& a) {
    const double area = std::acos(-1.0) / 4 * a.design.drive.bore_m * a.design.drive.bore_m;
    std::ostringstream out;
    out.imbue(std::locale::classic());
    out.precision(7);
    out << "time_s,drive_speed_m_s,valve_head_m,vessel_head_m,drive_m3s,waste_m3s,check_m3s,delivery_m3s,"
           "valve_opening_m\n";
    for (const PumpSample& s : a.run.series) {
        out << s.time_s << ',' << s.drive_m3s / area << ',' << s.body_head_m << ',' << s.vessel_head_m << ','
            << s.drive_m3s << ',' << s.waste_m3s << ',' << s.check_m3s << ',' << s.delivery_m3s << ','
            << s.valve_m << '\n';
    }
    return out.str();
}

} // namespace beckhand

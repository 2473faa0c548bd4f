// Reads the file of measured rams, runs its rows and says how far off they are.
#include "app/terminal/measured_rams.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/terminal/case_toml.h"
#include "engine/nearest.h"
#include "engine/quantity/text.h"

namespace beckhand {
namespace {

using case_toml::at;
using case_toml::in_quotes;

struct FigureKey {
    const char* key;
    const char* words;
    BandKind kind;
    double in_plot;
    double (*computed)(const PumpRun&, const PumpDesign&);
};

constexpr std::array figure_keys{
    FigureKey{"beats_per_hour", "beats an hour", BandKind::beats, 1.0 / 60,
              [](const PumpRun& r, const PumpDesign&) { return r.beat.si() * 3600; }},
    FigureKey{"beats_per_min", "beats a minute", BandKind::beats, 1,
              [](const PumpRun& r, const PumpDesign&) { return r.beat.si() * 60; }},
    FigureKey{"drive_l_per_min", "drive flow, l/min", BandKind::flow, 1,
              [](const PumpRun& r, const PumpDesign&) { return r.drive.si() * 6e4; }},
    FigureKey{"lifted_m3_per_hour", "lifted, m3/h", BandKind::flow, 1000.0 / 60,
              [](const PumpRun& r, const PumpDesign&) { return r.delivered.si() * 3600; }},
    FigureKey{"lifted_l_per_min", "lifted, l/min", BandKind::flow, 1,
              [](const PumpRun& r, const PumpDesign&) { return r.delivered.si() * 6e4; }},
    FigureKey{"lifted_ml_per_s", "lifted, ml/s", BandKind::flow, 0.06,
              [](const PumpRun& r, const PumpDesign&) { return r.delivered.si() * 1e6; }},
    FigureKey{"wasted_m3_per_hour", "wasted, m3/h", BandKind::flow, 1000.0 / 60,
              [](const PumpRun& r, const PumpDesign&) { return r.waste.si() * 3600; }},
    FigureKey{"wasted_l_per_s", "wasted, l/s", BandKind::flow, 60,
              [](const PumpRun& r, const PumpDesign&) { return r.waste.si() * 1e3; }},
    FigureKey{
        "efficiency", "efficiency", BandKind::efficiency, 1,
        [](const PumpRun& r, const PumpDesign&) { return r.rest == ValveRest::runs ? r.efficiency : 0; }},
    FigureKey{"vessel_head_m", "head in the vessel, m", BandKind::head, 1,
              [](const PumpRun& r, const PumpDesign& d) {
                  return r.vessel_mean.si() / (d.water.density * d.water.g);
              }}};

struct BandKey {
    BandKind kind;
    const char* key;
};
constexpr std::array band_keys{BandKey{BandKind::flow, "flow"}, BandKey{BandKind::efficiency, "efficiency"},
                               BandKey{BandKind::beats, "beats"}, BandKey{BandKind::head, "head"}};

Problem wrong(const std::string& where, const std::string& what, const std::string& todo) {
    return {where, what, todo};
}

/// The text of a key; empty where it is missing.
Result<std::string> text_of(const toml::table& table, const char* key, const std::string& name, bool needed) {
    const toml::node* node = table.get(key);
    if (node == nullptr && !needed)
        return std::string();
    const auto text = node != nullptr ? node->value<std::string>() : std::nullopt;
    if (!text || (needed && text->empty())) {
        return wrong(node != nullptr ? at(name, *node) : at(name, table),
                     in_quotes(key) + (node != nullptr ? " is not text." : " is missing."),
                     "Write " + std::string(key) + " = \"...\".");
    }
    return *text;
}

/// A table of the machine or row; null where it is missing.
Result<const toml::table*> part_of(const toml::table& table, const char* key, const std::string& name) {
    const toml::node* node = table.get(key);
    if (node == nullptr)
        return static_cast<const toml::table*>(nullptr);
    if (!node->is_table())
        return wrong(at(name, *node), in_quotes(key) + " is not a table.",
                     "Write " + std::string(key) + " = { ... }.");
    return node->as_table();
}

Outcome check_keys(const toml::table& table, const std::string& name, const std::vector<std::string>& known) {
    for (const auto& [key, node] : table) {
        if (std::find(known.begin(), known.end(), key.str()) == known.end())
            return wrong(at(name, node), in_quotes(key.str()) + " is not a key here.",
                         did_you_mean(key.str(), known));
    }
    return Done{};
}

Result<double> number_of(const toml::node& node, std::string_view key, const std::string& name,
                         double least) {
    const auto number = node.value<double>();
    if (!node.is_number() || !number || !std::isfinite(*number))
        return wrong(at(name, node), in_quotes(key) + " is not a number.",
                     "Write " + std::string(key) + " = 2.5, for example.");
    if (*number < least)
        return wrong(at(name, node), in_quotes(key) + " is too small.",
                     "Give " + significant_text(least) + " or more.");
    return *number;
}

Outcome set_parts(const toml::table& table, const std::string& name, PumpDesign& design) {
    for (const auto& [key, node] : table) {
        double* const p = parameter(design, key.str());
        if (p == nullptr) {
            std::vector<std::string> known;
            for (const std::string_view part : parameter_names())
                known.emplace_back(part);
            return wrong(at(name, node), in_quotes(key.str()) + " is no part of a pump.",
                         did_you_mean(key.str(), known));
        }
        const Result<double> value = number_of(node, key.str(), name, -1e12);
        if (!value)
            return value.error();
        *p = *value;
    }
    return Done{};
}

Outcome read_figures(const toml::table& table, const std::string& name, std::vector<RamFigure>& out) {
    std::vector<std::string> known;
    for (const FigureKey& f : figure_keys)
        known.emplace_back(f.key);
    if (Outcome done = check_keys(table, name, known); !done)
        return done;
    for (const FigureKey& f : figure_keys) {
        const toml::node* node = table.get(f.key);
        if (node == nullptr)
            continue;
        const Result<double> value = number_of(*node, f.key, name, 1e-9);
        if (!value)
            return value.error();
        out.push_back({f.words, f.kind, *value, f.in_plot, f.computed});
    }
    return Done{};
}

Result<MeasuredRow> read_row(const toml::table& table, const toml::table* machine_site,
                             const toml::table* machine_parts, const std::string& name) {
    if (Outcome done = check_keys(table, name, {"name", "site", "parts", "measured", "seconds"}); !done)
        return done.error();
    MeasuredRow row;
    const Result<std::string> words = text_of(table, "name", name, true);
    if (!words)
        return words.error();
    row.name = *words;
    const auto own_site = part_of(table, "site", name), own_parts = part_of(table, "parts", name),
               measured = part_of(table, "measured", name);
    for (const auto* part : {&own_site, &own_parts, &measured}) {
        if (!*part)
            return part->error();
    }
    Site site;
    std::vector<std::string> notes;
    for (const toml::table* part : {machine_site, *own_site}) {
        if (part == nullptr)
            continue;
        if (Outcome done = case_toml::read_site_keys(*part, name, false, site, notes); !done)
            return done.error();
    }
    if (!notes.empty())
        return wrong(at(name, table), notes.front(), "Take it out, or write it under parts.");
    Result<PumpDesign> design = design_for(site);
    if (!design)
        return wrong(at(name, table) + ": " + row.name, design.error().what, design.error().todo);
    row.design = *design;
    for (const toml::table* part : {machine_parts, *own_parts}) {
        if (part == nullptr)
            continue;
        if (Outcome done = set_parts(*part, name, row.design); !done)
            return done.error();
    }
    if (*measured == nullptr)
        return wrong(at(name, table), "\"measured\" is missing.", "Write measured = { beats_per_min = 60 }.");
    if (Outcome done = read_figures(**measured, name, row.figures); !done)
        return done.error();
    row.options.seconds = 80;
    if (const toml::node* node = table.get("seconds")) {
        const Result<double> seconds = number_of(*node, "seconds", name, 5);
        if (!seconds)
            return seconds.error();
        row.options.seconds = std::min(*seconds, 3600.0);
    }
    row.options.warm_up_seconds = row.options.seconds / 4;
    return row;
}

Result<MeasuredMachine> read_machine(const toml::table& table, const std::string& name) {
    const std::vector<std::string> known{"name",   "source", "fitted", "fitted_words",
                                         "judged", "site",   "parts",  "row"};
    if (Outcome done = check_keys(table, name, known); !done)
        return done.error();
    MeasuredMachine machine;
    const std::array<std::pair<const char*, std::string*>, 5> texts{{{"name", &machine.name},
                                                                     {"source", &machine.source},
                                                                     {"fitted", &machine.fitted},
                                                                     {"fitted_words", &machine.fitted_words},
                                                                     {"judged", &machine.judged}}};
    for (const auto& [key, into] : texts) {
        const Result<std::string> text =
            text_of(table, key, name, into == &machine.name || into == &machine.source);
        if (!text)
            return text.error();
        *into = *text;
    }
    const auto site = part_of(table, "site", name), parts = part_of(table, "parts", name);
    if (!site)
        return site.error();
    if (!parts)
        return parts.error();
    const toml::array* rows = table["row"].as_array();
    if (rows == nullptr || rows->empty())
        return wrong(at(name, table), in_quotes(machine.name) + " has no row.", "Add [[machine.row]].");
    for (const toml::node& node : *rows) {
        if (!node.is_table())
            return wrong(at(name, node), "A row is not a table.", "Write [[machine.row]].");
        Result<MeasuredRow> row = read_row(*node.as_table(), *site, *parts, name);
        if (!row)
            return row.error();
        machine.rows.push_back(*row);
    }
    return machine;
}

std::string column(std::string text, std::size_t width, bool right) {
    if (text.size() < width)
        text.insert(right ? 0 : text.size(), width - text.size(), ' ');
    return text;
}

} // namespace

Result<MeasuredRams> read_measured_rams(const std::string& text, const std::string& name) {
    const Result<toml::table> file = case_toml::parse(text, name);
    if (!file)
        return file.error();
    if (Outcome done = check_keys(*file, name, {"bands", "machine"}); !done)
        return done.error();
    MeasuredRams rams;
    const auto bands = part_of(*file, "bands", name);
    if (!bands)
        return bands.error();
    if (*bands == nullptr)
        return wrong(name, "It has no [bands].",
                     "Say how far off still counts: flow = 0.20, efficiency, beats, head.");
    if (Outcome done = check_keys(**bands, name, {"flow", "efficiency", "beats", "head", "why"}); !done)
        return done.error();
    for (const BandKey& band : band_keys) {
        const toml::node* node = (*bands)->get(band.key);
        if (node == nullptr)
            return wrong(at(name, **bands), in_quotes(band.key) + " is missing.",
                         "Write " + std::string(band.key) + " = 0.20.");
        const Result<double> value = number_of(*node, band.key, name, 0);
        if (!value)
            return value.error();
        rams.bands[band.kind] = *value;
    }
    const Result<std::string> why = text_of(**bands, "why", name, false);
    if (!why)
        return why.error();
    rams.why = *why;
    const toml::array* machines = (*file)["machine"].as_array();
    if (machines == nullptr || machines->empty())
        return wrong(name, "It has no machine.",
                     "Add [[machine]] with name, source, site and [[machine.row]].");
    for (const toml::node& node : *machines) {
        if (!node.is_table())
            return wrong(at(name, node), "A machine is not a table.", "Write [[machine]].");
        Result<MeasuredMachine> machine = read_machine(*node.as_table(), name);
        if (!machine)
            return machine.error();
        rams.machines.push_back(*machine);
    }
    return rams;
}

std::vector<ComparedFigure> compare(const MeasuredRams& rams) {
    std::vector<ComparedFigure> all;
    for (const MeasuredMachine& machine : rams.machines) {
        for (const MeasuredRow& row : machine.rows) {
            const PumpRun run = simulate(row.design, row.options);
            for (const RamFigure& f : row.figures) {
                ComparedFigure c{machine.name, row.name,   f.words,
                                 f.kind,       f.measured, f.computed(run, row.design),
                                 f.in_plot};
                c.in_band = std::fabs(c.ratio() - 1) <= rams.bands.at(f.kind);
                all.push_back(c);
            }
        }
    }
    return all;
}

std::string compared_text(const MeasuredRams& rams, const std::vector<ComparedFigure>& figures) {
    const auto percent = [&](BandKind kind) { return significant_text(100 * rams.bands.at(kind), 2) + " %"; };
    std::string text = "Measured rams against the virtual pump. Bands: flow " + percent(BandKind::flow) +
                       ", efficiency " + percent(BandKind::efficiency) + ", beats " +
                       percent(BandKind::beats) + ", head " + percent(BandKind::head) + ".\n";
    std::size_t met = 0;
    for (const MeasuredMachine& machine : rams.machines) {
        text += "\n" + machine.name + "\n";
        if (!machine.fitted.empty())
            text += "  Fitted: " + machine.fitted + ", " + machine.fitted_words + ".\n";
        text += "  " + column("row", 32, false) + column("figure", 24, false) + column("measured", 10, true) +
                column("computed", 10, true) + column("ratio", 7, true) + "\n";
        std::string last_row;
        for (const ComparedFigure& f : figures) {
            if (f.machine != machine.name)
                continue;
            text += "  " + column(f.row == last_row ? "" : f.row, 32, false) + column(f.words, 24, false) +
                    column(significant_text(f.measured), 10, true) +
                    column(significant_text(f.computed), 10, true) +
                    column(fixed_text(f.ratio(), 2), 7, true) + (f.in_band ? "" : "  MISSES") + "\n";
            last_row = f.row;
            met += f.in_band ? 1 : 0;
        }
    }
    return text + "\n" + std::to_string(met) + " of " + std::to_string(figures.size()) +
           " figures within their bands.\n";
}

} // namespace beckhand

// The few lines that turn effects into a design. How far each goes is said in knowledge/pack.
#include "engine/pump/faults.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/nearest.h"

namespace beckhand {

namespace {

constexpr double pi = 3.14159265358979323846;

// In the order of the enumerators.
constexpr std::array<std::string_view, 4> move_words{"add", "times", "towards", "down_to"};

double area_of(double bore_m) {
    return pi / 4 * bore_m * bore_m;
}

struct Size {
    std::string_view name, words;
    double (*of)(const PumpDesign&);
};

constexpr std::array sizes{
    Size{"drive.bore_area", "cross-section of the drive pipe, m2",
         [](const PumpDesign& d) { return area_of(d.drive.bore_m); }},
    Size{"drive.volume", "water in the drive pipe, m3",
         [](const PumpDesign& d) { return area_of(d.drive.bore_m) * d.drive.length_m; }},
    // A ram draws about a third of what would run through it held open (Brunacci's grid and this model).
    Size{"usual_draw", "what the pump draws when sound, m3/s",
         [](const PumpDesign& d) { return area_of(d.drive.bore_m) * open_speed(d) / 3; }},
    Size{"delivery.bore_area", "cross-section of the delivery pipe, m2",
         [](const PumpDesign& d) { return area_of(d.delivery.bore_m); }},
};

std::optional<double> size_named(const PumpDesign& design, std::string_view name) {
    if (name.empty())
        return 1.0;
    for (const Size& size : sizes) {
        if (size.name == name)
            return size.of(design);
    }
    PumpDesign copy = design; // parameter() gives a place to write to
    if (const double* p = parameter(copy, name))
        return *p;
    return std::nullopt;
}

bool is_parameter(std::string_view name) {
    return !parameter_words(name).empty();
}

/// What a run divides by, and how far it may go. Wide: no pump comes near, a made-up file might.
struct Bound {
    std::string_view parameter;
    double least, most;
};
constexpr std::array bounds{
    Bound{"water.density", 500, 2000},
    Bound{"water.bulk_modulus_pa", 1e7, 1e11},
    Bound{"water.viscosity_m2s", 1e-8, 1e-2},
    Bound{"water.air_pa", 1e4, 1e6},
    Bound{"water.g", 1, 30},
    Bound{"header.level_m", 1e-3, 1e3},
    Bound{"header.area_m2", 1e-4, 1e7},
    Bound{"drive.length_m", 0.05, 1e4},
    Bound{"drive.bore_m", 1e-3, 5},
    Bound{"drive.modulus_pa", 1e5, 1e13},
    Bound{"drive.free_gas", 0, 0.5},
    Bound{"waste_valve.seat_area_m2", 1e-7, 20},
    Bound{"waste_valve.edge_m", 1e-4, 20},
    Bound{"waste_valve.mass_kg", 1e-4, 1e4},
    Bound{"check_valve.area_m2", 1e-8, 20},
    Bound{"check_valve.water_m", 1e-3, 100},
    Bound{"vessel.volume_m3", 1e-6, 1e3},
    Bound{"vessel.air_m3", 1e-9, 1e3},
    Bound{"vessel.exponent", 0.5, 3},
    Bound{"delivery.length_m", 0.05, 1e5},
    Bound{"delivery.bore_m", 1e-4, 5},
    Bound{"delivery.wave_m_s", 10, 2000},
};

std::optional<Problem> cannot_be(PumpDesign design) {
    const auto impossible = [](std::string_view name) {
        return Problem{"effect on " + std::string(name), "No pump has such a figure at its worst.",
                       "Move it less far."};
    };
    for (const std::string_view name : parameter_names()) {
        if (!std::isfinite(*parameter(design, name)))
            return impossible(name);
    }
    for (const Bound& bound : bounds) {
        const double value = *parameter(design, bound.parameter);
        if (value < bound.least || value > bound.most)
            return impossible(bound.parameter);
    }
    return std::nullopt;
}

std::vector<std::string> strings(const std::vector<std::string_view>& views) {
    return {views.begin(), views.end()};
}

} // namespace

std::string_view id_of(Moves moves) {
    return move_words[static_cast<std::size_t>(moves)];
}

std::optional<Moves> moves_of(std::string_view text) {
    for (std::size_t i = 0; i < move_words.size(); ++i) {
        if (move_words[i] == text)
            return static_cast<Moves>(i);
    }
    return std::nullopt;
}

const std::vector<std::string_view>& size_names() {
    static const std::vector<std::string_view> names = [] {
        std::vector<std::string_view> all;
        for (const Size& size : sizes)
            all.push_back(size.name);
        return all;
    }();
    return names;
}

std::string_view size_words(std::string_view name) {
    for (const Size& size : sizes) {
        if (size.name == name)
            return size.words;
    }
    return {};
}

std::optional<Problem> unusable(const FaultEffect& e) {
    const std::string where = "effect on " + e.parameter;
    if (!is_parameter(e.parameter)) {
        return Problem{where, "\"" + e.parameter + "\" is no part of a pump.",
                       did_you_mean(e.parameter, strings(parameter_names()))};
    }
    if (!e.of.empty() && !is_parameter(e.of) && size_words(e.of).empty()) {
        std::vector<std::string> known = strings(size_names());
        for (const std::string_view name : parameter_names())
            known.emplace_back(name);
        return Problem{where, "\"" + e.of + "\" is no size of a pump.", did_you_mean(e.of, known)};
    }
    const double a = e.amount;
    switch (e.moves) {
    case Moves::times:
        if (!e.of.empty())
            return Problem{where, "\"times\" is measured by the figure itself.", "Leave \"of\" out."};
        if (!(a >= 1e-6 && a <= 1e6))
            return Problem{where, "\"times\" is not between 0.000001 and 1000000.", ""};
        break;
    case Moves::down_to:
        if (e.of.empty())
            return Problem{where, "\"down_to\" does not say of what.", "Add of = \"...\", a size."};
        if (!(a >= 0 && a <= 1))
            return Problem{where, "\"down_to\" is not between 0 and 1.", "It is a share of the size."};
        break;
    case Moves::add:
    case Moves::towards:
        if (!(std::fabs(a) <= 1000))
            return Problem{where, "\"" + std::string(id_of(e.moves)) + "\" is not within 1000 either way.",
                           ""};
        break;
    }
    return std::nullopt;
}

Outcome apply_effects(PumpDesign& design, std::span<const FaultEffect> effects, double s) {
    if (!(s >= 0) || s > 1) {
        return Problem{"severity", "The severity is not between 0 and 1.",
                       "Give 0 for sound, 1 for as bad as it gets."};
    }
    PumpDesign moved = design;
    for (const FaultEffect& e : effects) {
        if (std::optional<Problem> problem = unusable(e))
            return *std::move(problem);
        double& p = *parameter(moved, e.parameter);
        const double r = size_named(design, e.of).value_or(1);
        switch (e.moves) {
        case Moves::add:
            p += s * e.amount * r;
            break;
        case Moves::times:
            p *= std::pow(e.amount, s);
            break;
        case Moves::towards:
            p += s * (e.amount * r - p);
            break;
        case Moves::down_to: {
            const double limit = r * (1 - s + s * e.amount);
            p = p > 0 ? std::min(p, limit) : limit;
            break;
        }
        }
    }
    if (std::optional<Problem> problem = cannot_be(moved))
        return *std::move(problem);
    design = moved;
    return Done{};
}

} // namespace beckhand

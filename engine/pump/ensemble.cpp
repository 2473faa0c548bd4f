// Draws designs, runs them, sorts what comes out.
#include "engine/pump/ensemble.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/pump/paths.h"

namespace beckhand {

Dice::Dice(std::uint64_t seed) {
    for (std::uint64_t& s : state) { // splitmix64
        seed += 0x9E3779B97F4A7C15u;
        std::uint64_t z = seed;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
        s = z ^ (z >> 31);
    }
}

std::uint64_t Dice::next() {
    const auto turn = [](std::uint64_t x, int k) { return (x << k) | (x >> (64 - k)); };
    const std::uint64_t result = turn(state[1] * 5, 7) * 9, t = state[1] << 17;
    state[2] ^= state[0];
    state[3] ^= state[1];
    state[1] ^= state[2];
    state[0] ^= state[3];
    state[2] ^= t;
    state[3] = turn(state[3], 45);
    return result;
}

double Dice::even() {
    return static_cast<double>(next() >> 11) * 0x1.0p-53;
}

double Dice::normal() { // Box and Muller, one of the pair
    const double u = 1 - even(), v = even();
    return std::sqrt(-2 * std::log(u)) * std::cos(2 * std::numbers::pi * v);
}

const std::vector<Doubt>& usual_doubts() {
    static const std::vector<Doubt> doubts{
        {"header.level_m", 0.02},
        {"drive.roughness_m", 0.5},
        {"drive.fittings_k", 0.5},
        {"drive.entry_k", 0.3},
        {"waste_valve.weight_n", 0.15},
        {"waste_valve.travel_m", 0.1},
        {"waste_valve.gap_coefficient", 0.1},
        {"check_valve.lag_m3", 0.4},
        {"check_valve.loss_k", 0.4},
        {"vessel.air_m3", 0.2},
        {"delivery.roughness_m", 0.7},
        {"delivery.fittings_k", 0.4},
    };
    return doubts;
}

std::vector<PumpDesign> draw_designs(const PumpDesign& base, const std::vector<Doubt>& doubts,
                                     std::size_t count, Dice& dice) {
    std::vector<PumpDesign> designs(count, base);
    for (PumpDesign& d : designs) {
        for (const Doubt& doubt : doubts) {
            if (double* p = parameter(d, doubt.parameter))
                *p *= std::exp(doubt.spread * dice.normal());
        }
    }
    return designs;
}

namespace {

constexpr std::size_t group = 8, updates_in_part = 64;

BeginEight* best_copy() {
    return wide_vectors_here() ? begin_eight_wide : begin_eight_plain;
}

} // namespace

EightPumps::~EightPumps() = default;

struct ManyRuns::Inside {
    std::vector<PumpDesign> designs;
    RunOptions options;
    std::unique_ptr<EightPumps> eight{};
    std::vector<PumpRun> runs{};
};

ManyRuns::ManyRuns(std::vector<PumpDesign> designs, const RunOptions& options)
    : inside_(std::make_unique<Inside>(Inside{std::move(designs), options})) {}
ManyRuns::~ManyRuns() = default;
ManyRuns::ManyRuns(ManyRuns&&) noexcept = default;
ManyRuns& ManyRuns::operator=(ManyRuns&&) noexcept = default;

const std::vector<PumpDesign>& ManyRuns::designs() const {
    return inside_->designs;
}
const std::vector<PumpRun>& ManyRuns::runs() const {
    return inside_->runs;
}

bool ManyRuns::part() {
    Inside& in = *inside_;
    const std::size_t first = in.runs.size();
    if (first < in.designs.size()) {
        if (!in.eight)
            in.eight = best_copy()(in.designs.data() + first, in.designs.size() - first, in.options);
        if (in.eight->go_on(updates_in_part))
            return true;
        in.eight->report_to(in.runs);
        in.eight.reset();
    }
    return in.runs.size() < in.designs.size();
}

std::vector<PumpRun> simulate_many_by(BeginEight* begin, const std::vector<PumpDesign>& designs, const RunOptions& options) {
    std::vector<PumpRun> runs;
    runs.reserve(designs.size());
    for (std::size_t first = 0; first < designs.size(); first += group) {
        const auto eight = begin(designs.data() + first, designs.size() - first, options);
        eight->go_on(static_cast<std::size_t>(-1));
        eight->report_to(runs);
    }
    return runs;
}

std::vector<PumpRun> simulate_many(const std::vector<PumpDesign>& designs, const RunOptions& options) {
    return simulate_many_by(best_copy(), designs, options);
}

std::vector<double> quantiles(const std::vector<PumpRun>& runs,
                              const std::function<double(const PumpRun&)>& figure,
                              const std::vector<double>& shares) {
    std::vector<double> values, out;
    if (runs.empty())
        return out;
    for (const PumpRun& r : runs)
        values.push_back(figure(r));
    std::sort(values.begin(), values.end());
    for (const double share : shares) {
        const double at = std::clamp(share, 0.0, 1.0) * static_cast<double>(values.size() - 1);
        const auto i = static_cast<std::size_t>(at);
        const double next = values[std::min(i + 1, values.size() - 1)];
        out.push_back(values[i] + (at - static_cast<double>(i)) * (next - values[i]));
    }
    return out;
}

} // namespace beckhand

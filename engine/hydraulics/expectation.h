// What a site of this fall, lift and these pipes should give, and which published limits it breaks. The
// steady answer: the old yield table for the lift-to-fall ratio, published intake flows for the bore,
// pipe friction for the delivery pipe. The site's own healthy record beats all of it where there is one.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/hydraulics/site.h"
#include "engine/quantity/text.h"

namespace beckhand {

/// A figure with the band in which a sound pump lies. least <= likely <= most.
template <class Q>
struct Expected {
    Q least, likely, most;
    std::string basis;   // in words, with the source: "healthy record", "Ogden 1911, table XI for a 50 mm drive pipe"
};

struct Expectation {
    std::optional<Expected<FlowRate>> drive_flow;   // waste + delivered
    std::optional<Expected<FlowRate>> waste;
    std::optional<Expected<FlowRate>> delivered;
    std::optional<Expected<Frequency>> beat;
    std::optional<Pressure> pressure_stopped;       // gauge, from the lift (or summit) alone
    std::optional<Expected<Pressure>> pressure_running;
    std::optional<double> lift_ratio;               // lift / fall
    std::optional<double> table_yield;              // delivered x lift / (drive flow x fall), 0..1
};

/// Never fails: what cannot be computed from a site with gaps is absent.
[[nodiscard]] Expectation expect(const Site& site);

enum class LimitState { kept, near, broken, unknown };

struct Limit {
    std::string id{};          // "drive_length_by_fall", stable
    std::string name{};        // "Drive pipe length against fall"
    LimitState state = LimitState::unknown;
    std::string found{};       // "3.0 times the fall" (figures only, no long sentence)
    std::string wanted{};      // "4 to 12 times the fall"
    std::string by_how_much{}; // "1.0 times the fall too short: add 2.4 m"; empty when kept
    std::string at_the_pump{}; // what it will look like at the pump when it is broken
    std::string cause{};       // cause id of the pack that a near or broken limit points to, may be empty
    std::string source{};
};

/// Every limit, in walking order from source to tank, kept ones too.
[[nodiscard]] std::vector<Limit> check_site(const Site& site, Units units = Units::metric);

} // namespace beckhand

// Many virtual pumps at once: what is not known of a site is drawn, and the answer is a spread instead of a
// figure. Eight pumps go through the time loop side by side, in single precision.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <string_view>
#include <vector>

#include "engine/pump/pump.h"

namespace beckhand {

/// Random numbers that are passed in: xoshiro256** (Blackman & Vigna 2018) seeded by splitmix64. The same
/// seed gives the same numbers on every machine.
struct Dice {
    explicit Dice(std::uint64_t seed);
    [[nodiscard]] std::uint64_t next();
    [[nodiscard]] double even();   // 0 <= x < 1
    [[nodiscard]] double normal(); // mean 0, deviation 1
    std::uint64_t state[4];
};

/// One thing not known well: the named parameter is multiplied by exp(spread x normal).
struct Doubt {
    std::string_view parameter;
    double spread;
};

/// What is doubtful at any site where nobody has measured more than levels and lengths: friction, losses,
/// valve setting, fall, air in vessel and water. Judgement.
[[nodiscard]] const std::vector<Doubt>& usual_doubts();

/// `count` designs around `base`. Names that are no parameter are skipped.
[[nodiscard]] std::vector<PumpDesign> draw_designs(const PumpDesign& base, const std::vector<Doubt>& doubts,
                                                   std::size_t count, Dice& dice);

/// Reaches that an ensemble needs: flows and beat within half a per cent of the finest grid, at twice the
/// speed of the 24 of a single run.
inline constexpr std::size_t ensemble_reaches = 16;

/// One run for each design, in order. Series are not kept. A run hangs on its neighbours, eight from the first
/// on, in two things only: the node with leak or pocket (drive.feature_at) is there for all eight if one needs
/// it, in one place, the last one's; and all eight go as many steps as the one with the shortest step needs.
[[nodiscard]] std::vector<PumpRun> simulate_many(const std::vector<PumpDesign>& designs,
                                                 const RunOptions& options = {.reaches = ensemble_reaches});

/// The same in parts of a few milliseconds, so that a screen can answer a finger meanwhile.
class ManyRuns {
public:
    explicit ManyRuns(std::vector<PumpDesign> designs, const RunOptions& options = {.reaches = ensemble_reaches});
    ~ManyRuns();
    ManyRuns(ManyRuns&&) noexcept;
    ManyRuns& operator=(ManyRuns&&) noexcept;
    /// 64 updates of 64 time steps in all eight, or the rest of them. False when every run is done.
    bool part();
    [[nodiscard]] const std::vector<PumpDesign>& designs() const;
    [[nodiscard]] const std::vector<PumpRun>& runs() const; // those that are done, in order
private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

/// Quantiles, 0..1, of one figure over the runs, straight lines between order statistics; empty for no runs.
[[nodiscard]] std::vector<double> quantiles(const std::vector<PumpRun>& runs,
                                            const std::function<double(const PumpRun&)>& figure,
                                            const std::vector<double>& shares);

} // namespace beckhand

// Shared inside this room by expect() and check_site(): what counts as known, the delivery pipe of a site,
// and the limits of each stretch between source and tank.
#pragma once

#include <optional>
#include <vector>

#include "engine/hydraulics/expectation.h"
#include "engine/hydraulics/pipe.h"
#include "engine/hydraulics/site.h"
#include "engine/hydraulics/water.h"
#include "engine/quantity/text.h"

namespace beckhand {

/// The figure if it is there and above zero: no length, flow or pressure of a working site is less.
template <class Q>
[[nodiscard]] std::optional<Q> known(const std::optional<Q>& figure) {
    return figure && *figure > Q{} ? figure : std::nullopt;
}

/// Water at the site's temperature, or usual_water.
[[nodiscard]] Water water_of(const Site& site);

/// The height the pump works against: the lift, or the summit of the delivery pipe if that is higher.
[[nodiscard]] std::optional<Length> pumped_height(const Site& site);

/// The delivery pipe, taken as smooth; absent where length or bore is.
[[nodiscard]] std::optional<Pipe> delivery_pipe(const Site& site);

/// kept inside least..most, near within a tenth of an edge on either side of it, else broken.
[[nodiscard]] LimitState state_between(double value, double least, double most);

/// How lengths are written in the words of a limit; other figures take its units.
struct Wording {
    Units units = Units::metric;
    [[nodiscard]] std::string m(Length length) const { return format_length(length, units); }
    [[nodiscard]] std::string mm(Length length) const { return format_bore(length, units); }
};

/// "3.1 times the fall".
[[nodiscard]] std::string times(double ratio, const std::string& of_what);

/// A drive pipe inside both bands where that can be: about 7 falls (USDA Bulletin 57), held to 150 to 1000 bores.
[[nodiscard]] Length good_drive_length(const Site& site);

[[nodiscard]] std::vector<Limit> source_and_drive_limits(const Site& site, const Wording& say);
[[nodiscard]] std::vector<Limit> pump_limits(const Site& site, const Wording& say, const Expectation& expectation);
[[nodiscard]] std::vector<Limit> delivery_limits(const Site& site, const Wording& say, const Expectation& expectation);

} // namespace beckhand

// What a ram of a given drive pipe drinks, from builders' tables, and Eytelwein's sizing rules.
#pragma once

#include <optional>

#include "engine/hydraulics/expectation.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// Drive flow (waste + delivered) for a drive bore. From 1 1/4 in up: Ogden 1911, Rural Hygiene, table XI;
/// below: Lueger/Weyrauch, Die Wasserversorgung der Staedte, p. 322, from 19 mm. Least and most are the
/// printed range, likely their geometric mean; between rows straight lines in the logarithms, as flow goes
/// with a power of the bore. Ends are stretched by a quarter of the bore; beyond that absent.
[[nodiscard]] std::optional<Expected<FlowRate>> intake_flow(Length drive_bore);

/// D = 9.6 sqrt(Q), mm and L/min, Q = waste + delivered. Eytelwein in Handbuch der Baukunde, Abt. I, Bd. 1,
/// Huelfswissenschaften zur Baukunde, p. 748, as the other three.
[[nodiscard]] Length drive_bore_for(FlowRate drive_flow);
/// L = h + 0.3 h / H, metres.
[[nodiscard]] Length drive_length_for(Length lift, Length fall);
/// Half the drive bore.
[[nodiscard]] Length delivery_bore_for(Length drive_bore);
/// At least what the rising pipe holds.
[[nodiscard]] Volume vessel_for(Length delivery_length, Length delivery_bore);

} // namespace beckhand

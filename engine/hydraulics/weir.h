// Flow over a notch, for measuring a source or a waste stream. Heads are measured upstream of the crest,
// beyond the draw-down; a head of zero or less gives no flow. Use heads of 0.06 m (0.2 ft) and more with free
// air under the sheet (USBR Water Measurement Manual, ch. 7): below that the numbers are poor, not refused.
#pragma once

#include "engine/quantity/quantity.h"

namespace beckhand {

/// 90-degree thin-plate V-notch, Kindsvater-Shen: Q = (8/15) Ce sqrt(2g) (h + kh)^2.5, Ce 0.578, kh 0.0029 ft
/// (USBR Water Measurement Manual, ch. 7, eq. 7-3). ISO 1438 gives kh 0.85 mm (from memory).
[[nodiscard]] FlowRate v_notch_90(Length head, Length head_correction = feet(0.0029));

/// 60-degree V-notch, Q = 1.443 H^2.5, ft and ft3/s (after ASTM D5242).
[[nodiscard]] FlowRate v_notch_60(Length head);

/// 45-degree V-notch, Q = 1.035 H^2.5, ft and ft3/s (after ASTM D5242).
[[nodiscard]] FlowRate v_notch_45(Length head);

/// Sharp-crested rectangular weir with both ends contracted, Francis: Q = 3.33 (L - 0.2 H) H^1.5, ft and
/// ft3/s (USBR, ch. 7). Meant for heads under a third of the crest; zero once the ends meet (L <= 0.2 H).
[[nodiscard]] FlowRate francis_weir(Length crest, Length head);

} // namespace beckhand

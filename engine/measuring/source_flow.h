// What a source gives, where no bucket holds it: over a V-notch in a board, or by a float on its surface.
#pragma once

#include <span>

#include "engine/measuring/with_error.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

enum class Notch { degrees_90, degrees_60, degrees_45 };

struct NotchFlow {
    WithError<FlowRate> flow;
    bool shallow = false;      // head below 0.06 m (0.2 ft): the sheet clings, the formula is poor (USBR, ch. 7)
};

/// Of a head read upstream with a rule from the notch's height: common practice.
inline constexpr Length head_error = millimetres(2);

/// weir.h's formulas; flow goes with the head to 2.5, and so does its error. A board cut on the spot is good to 5 %
/// (common practice), to 15 % where the head is shallow.
[[nodiscard]] NotchFlow flow_over_notch(Notch notch, Length head);

/// Mean speed of a small stream to that of its surface in the middle: 0.8 over stones, 0.9 over mud (EPA 841-B-97-003,
/// Volunteer Stream Monitoring, 5.1, from memory). USBR's table for canals has 0.66 at 1 ft of depth (Water
/// Measurement Manual, ch. 13, from memory): the error below is wide enough to hold both.
inline constexpr double float_over_stones = 0.8, float_over_mud = 0.9;
inline constexpr double float_coefficient_error = 0.1;

struct FloatFlow {
    WithError<FlowRate> flow;
    Area section;
    Speed surface;
    bool disagree = false;     // the floats' times lie more than a fifth apart
    bool shallow = false;      // mean depth below 0.05 m: stones steer the water, not the section
};

/// `depths` at equal distances across, without the two banks, where the depth is nothing. The middle time counts.
[[nodiscard]] FloatFlow flow_by_float(Length distance, std::span<const Duration> times, Length width,
                                      std::span<const Length> depths, double coefficient);

} // namespace beckhand

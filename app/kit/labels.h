// Where the words of a drawing go: near what they name, on free ground, inside the frame. Pure geometry.
// Only the kit includes this.
#pragma once

#include <vector>

#include "app/kit/kit.h"

namespace beckhand::kit {

struct Spot {
    float x = 0, y = 0;
};

struct Placed {
    Box box;
    bool free = true; // false: it covers something
};

/// The best place for a box of this size near the anchor. `prefer` is the direction to look in first (0, 0:
/// any). `taken` are the boxes to stay clear of; what cannot be avoided is overlapped as little as possible.
/// `words` are those of them that the line from the anchor to the label must not cross.
[[nodiscard]] Placed place_label(float w, float h, Spot anchor, Spot prefer, const Box& bounds,
                                 const std::vector<Box>& taken, const std::vector<Box>& words = {});

/// How much of each other they cover, in square pixels.
[[nodiscard]] float overlap(const Box& a, const Box& b);

/// Small boxes along a line, to keep labels off it.
void add_along(std::vector<Box>& taken, Spot from, Spot to, float thickness);

} // namespace beckhand::kit

// The ways to measure with what the hand has: which figure each is for, its words, and what it needs typed.
#include <array>

#include "app/measuring/measuring.h"
#include "engine/quantity/quantity.h"

namespace beckhand {
namespace {

constexpr int most_steps = 12;      // set-ups of hose or staff
constexpr int most_depths = 9;
constexpr int floats = 3;

std::string numbered(const char* name, int n) { return name + std::to_string(n); }

/// How many of name_1, name_2 ... are typed, counted to the first gap.
int filled(const MeasuringOnScreen& now, const char* name) {
    int n = 0;
    while (now.typed.contains(numbered(name, n + 1))) ++n;
    return n;
}

} // namespace

std::vector<Way> ways_to(std::string_view wanted) {
    if (wanted == "B" || wanted == "beat_per_min") return {Way::tapped, Way::by_ear};
    if (wanted == "W" || wanted == "Q" || wanted == "D" || wanted == "waste_flow_lpm" || wanted == "delivered_flow_lpm") return {Way::bucket};
    if (wanted == "S" || wanted == "source_flow_lpm") return {Way::bucket, Way::notch, Way::floated};
    if (wanted == "H" || wanted == "fall_m") return {Way::hose, Way::staff, Way::gauge};
    if (wanted == "Lift" || wanted == "lift_m") return {Way::gauge, Way::hose, Way::staff};
    return {};
}

std::string_view name_of(Way way) {
    switch (way) {
        case Way::tapped: return "Tap along with the beat";
        case Way::by_ear: return "Let the microphone listen";
        case Way::bucket: return "Bucket and watch";
        case Way::hose: return "A clear hose full of water";
        case Way::staff: return "A level and a staff";
        case Way::gauge: return "Gauge, still water";
        case Way::notch: return "A V-notch in a board";
        case Way::floated: return "A float on the stream";
    }
    return "";
}

std::string_view needs_of(Way way) {
    switch (way) {
        case Way::tapped: return "A finger, half a minute";
        case Way::by_ear: return "Half a minute to a minute by the pump";
        case Way::bucket: return "A bucket with a mark, three fills";
        case Way::hose: return "Hose, tape, two people";
        case Way::staff: return "Level, staff or tape, two people";
        case Way::gauge: return "A gauge on the stopped, full pipe";
        case Way::notch: return "A board with a cut notch, a rule";
        case Way::floated: return "A tape, a watch, a floating stick";
    }
    return "";
}

std::vector<std::string_view> steps_of(Way way) {
    switch (way) {
        case Way::tapped: return {"Tap each time the waste valve shuts.", "Eyes on the valve, not on the screen."};
        case Way::by_ear: return {"Hold the device near the pump, an arm's length from the valve, out of the spray.", "Be quiet until it says the rate."};
        case Way::bucket: return {"Lead all of the water into the bucket.", "Start as it begins to fill, stop at the mark. Three times, 10 seconds or longer."};
        case Way::hose: return {"Fill the hose until no bubble is left.", "Hold its upper end at the upper point: the water in both ends stands level.",
                                "At the lower end measure from the water in the hose down to the next point. Type it, go on from there."};
        case Way::staff: return {"Set the level up between two points.", "Read the staff at the upper point, then at the lower.", "Move on and begin again at the lower point."};
        case Way::gauge: return {"Stop the pump. The pipe above the gauge must be full and shut off below.", "Read the gauge straight on when nothing moves. Read it once more with no pressure on it."};
        case Way::notch: return {"Set the board across, level, with all water through the notch and falling free behind it.",
                                 "Measure the water's height above the bottom of the notch, four heads upstream of it."};
        case Way::floated: return {"Choose a straight, even stretch. Stay on the bank where the water is fast.", "Time a float down its middle three times.",
                                   "Measure the width, and the depth at equal steps across."};
    }
    return {};
}

std::vector<std::string_view> options_of(Way way) {
    if (way == Way::notch) return {"Notch of 90 degrees", "Notch of 60 degrees", "Notch of 45 degrees"};
    if (way == Way::floated) return {"Bed of stones", "Bed of mud or sand"};
    return {};
}

std::vector<Slot> slots_of(const MeasuringOnScreen& now) {
    std::vector<Slot> slots;
    if (!now.way) return slots;
    switch (*now.way) {
        case Way::tapped:
        case Way::by_ear: break;
        case Way::bucket: slots.push_back({"volume", "Bucket holds: to the mark", Figure::volume, 2e-4, 0.5}); break;
        case Way::hose:
            for (int n = 1; n <= std::min(filled(now, "drop_") + 1, most_steps); ++n) {
                slots.push_back({numbered("drop_", n), "Step " + std::to_string(n) + (n == 1 ? ": water in the hose down to the point" : ""), Figure::length, 0.01, 30, n == 1});
            }
            break;
        case Way::staff:
            for (int n = 1; n <= std::min(filled(now, "lower_") + 1, most_steps); ++n) {
                const std::string set_up = "Set-up " + std::to_string(n);
                slots.push_back({numbered("upper_", n), set_up + ": staff at the upper point", Figure::length, 0, 10, n == 1});
                slots.push_back({numbered("lower_", n), set_up + ": staff at the lower point", Figure::length, 0, 10, n == 1});
            }
            break;
        case Way::gauge:
            slots.push_back({"reading", "Gauge reads: water standing", Figure::pressure, 0, 4e6});
            slots.push_back({"range", "Dial ends at: its highest mark", Figure::pressure, 1e4, 6e6});
            slots.push_back({"zero", "Gauge at rest: with no pressure on it", Figure::pressure, -1e5, 1e6, false});
            break;
        case Way::notch: slots.push_back({"head", "Head: water above the bottom of the notch", Figure::bore, 0.005, 0.6}); break;
        case Way::floated:
            slots.push_back({"distance", "Stretch: its length", Figure::length, 0.5, 100});
            for (int n = 1; n <= floats; ++n) {
                slots.push_back({numbered("time_", n), "Float " + std::to_string(n) + ": the time it took", Figure::duration, 0.5, 1000, n == 1});
            }
            slots.push_back({"width", "Width: of the water", Figure::length, 0.05, 30});
            for (int n = 1; n <= std::min(filled(now, "depth_") + 1, most_depths); ++n) {
                slots.push_back({numbered("depth_", n), "Depth " + std::to_string(n), Figure::bore, 0.005, 3, n == 1});
            }
            break;
    }
    return slots;
}

} // namespace beckhand

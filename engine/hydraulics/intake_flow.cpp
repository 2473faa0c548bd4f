// Builders' tables of what rams drink, and Eytelwein's sizing rules.
#include "engine/hydraulics/intake_flow.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include "engine/hydraulics/pipe.h"
#include "engine/quantity/text.h"

namespace beckhand {

namespace {

struct Row {
    double bore_mm, least_lpm, most_lpm;
};

constexpr double gallon = us_gallons_per_minute.si_per_unit / litres_per_minute.si_per_unit;

constexpr std::array<Row, 11> rows{{
    {19, 3, 7},
    {25, 6, 15},
    {30, 11, 26},                            // Lueger/Weyrauch p. 322
    {1.25 * 25.4, 2.5 * gallon, 6 * gallon}, // Ogden 1911, table XI, from here on
    {1.5 * 25.4, 6 * gallon, 12 * gallon},
    {2 * 25.4, 8 * gallon, 18 * gallon},
    {2.5 * 25.4, 11 * gallon, 24 * gallon},
    {3 * 25.4, 15 * gallon, 35 * gallon},
    {4 * 25.4, 30 * gallon, 75 * gallon},
    {8 * 25.4, 150 * gallon, 350 * gallon},
    {12 * 25.4, 375 * gallon, 700 * gallon},
}};

double between(double d, double d0, double d1, double q0, double q1) {
    return q0 * std::pow(q1 / q0, std::log(d / d0) / std::log(d1 / d0));
}

} // namespace

std::optional<Expected<FlowRate>> intake_flow(Length drive_bore) {
    const double d = drive_bore.in(millimetres);
    if (!(d >= rows.front().bore_mm / 1.25 && d <= rows.back().bore_mm * 1.25)) {
        return std::nullopt;
    }
    const auto found = std::find_if(std::next(rows.begin()), std::prev(rows.end()),
                                    [d](const Row& row) { return row.bore_mm >= d; });
    const Row high = *found, low = *std::prev(found);
    const double least = between(d, low.bore_mm, high.bore_mm, low.least_lpm, high.least_lpm);
    const double most = between(d, low.bore_mm, high.bore_mm, low.most_lpm, high.most_lpm);
    const bool ogden = d >= 1.25 * 25.4;
    return Expected<FlowRate>{
        litres_per_minute(least), litres_per_minute(std::sqrt(least * most)), litres_per_minute(most),
        std::string(ogden ? "Ogden 1911, Rural Hygiene, table XI"
                          : "Lueger/Weyrauch, Die Wasserversorgung der Städte, p. 322") +
            ", for a " + format_bore(drive_bore, Units::metric) + " drive pipe"};
}

Length drive_bore_for(FlowRate drive_flow) {
    return millimetres(9.6 * std::sqrt(std::max(drive_flow.in(litres_per_minute), 0.0)));
}

Length drive_length_for(Length lift, Length fall) {
    return fall > Length{} ? lift + metres(0.3 * (lift / fall)) : Length{};
}

Length delivery_bore_for(Length drive_bore) {
    return drive_bore / 2;
}

Volume vessel_for(Length delivery_length, Length delivery_bore) {
    return area_of_bore(delivery_bore) * delivery_length;
}

} // namespace beckhand

#include "engine/diagnosis/measurement_text.h"

namespace beckhand {

Figure figure_of(const Measurement& how) {
    if (how.unit == "m3/s") return Figure::flow;
    if (how.unit == "Pa") return Figure::pressure;
    if (how.unit == "1/s") return Figure::beat;
    if (how.unit == "degC") return Figure::temperature;
    return how.most <= 1 ? Figure::bore : Figure::length;
}

std::string format_measured(const Measurement& how, double value_si, Units units) {
    return format_figure(figure_of(how), value_si, units);
}

} // namespace beckhand

#include "app/visit/drawn.h"

#include "app/drawings/sketch.h"

namespace beckhand {
namespace {

/// As found in this visit, SI; nothing when it was not measured.
std::optional<double> found(const Visit& visit, const char* measurement) {
    const auto at = visit.as_found.find(measurement);
    return at == visit.as_found.end() ? std::nullopt : std::optional(at->second.value_si);
}

} // namespace

bool drawn_answer(kit::Kit& kit, std::string_view id, std::string_view words, const Pointed& means, bool chosen) {
    const drawings::Sketch* const sketch = drawings::find_sketch(means.observation, means.answer);
    if (sketch == nullptr) return kit.answer(id, words, chosen);
    const auto draw = [&](const kit::Box& box) { drawings::draw_sketch(kit, box, *sketch, kit.moving()); };
    return kit.drawn_answer(id, words, draw, chosen);
}

kit::AtWork at_work(const State& state) {
    const Visit& visit = state.scene.visit;
    kit::AtWork known{visit.site.record.beat, visit.site.record.waste, visit.site.record.delivered, visit.site.record.running};
    if (const auto beat = found(visit, "B")) known.beat = hertz(*beat);
    if (const auto waste = found(visit, "W")) known.waste = cubic_metres_per_second(*waste);
    if (const auto delivered = found(visit, "Q")) known.delivered = cubic_metres_per_second(*delivered);
    if (const auto pressure = found(visit, "Pr")) known.vessel = pascals(*pressure);
    if (state.outlook.beat) known.moves = &*state.outlook.beat;
    return known;
}

} // namespace beckhand

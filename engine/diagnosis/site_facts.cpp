#include "engine/diagnosis/site_facts.h"

#include "engine/hydraulics/drive_shape.h"

namespace beckhand {
namespace {

// A short soft piece hides in many a steel line, and pipes are replaced without a word (common practice).
std::map<std::string, double> kind_chances(PipeMaterial material) {
    switch (material) {
    case PipeMaterial::steel:
    case PipeMaterial::cast_iron:
    case PipeMaterial::copper: return {{"steel_or_iron", 0.85}, {"steel_with_soft_piece", 0.15}};
    case PipeMaterial::rigid_plastic: return {{"rigid_plastic", 0.95}, {"soft_plastic", 0.05}};
    case PipeMaterial::soft_plastic: return {{"soft_plastic", 0.95}, {"rigid_plastic", 0.05}};
    }
    return {};
}

// A summit this much above the outlet pulls as a siphon; less is within the error of a hose level.
constexpr double real_summit_m = 0.5;

} // namespace

std::map<std::string, std::map<std::string, double>> site_facts(const Site& site) {
    std::map<std::string, std::map<std::string, double>> facts;
    if (const auto shape = drive_shape_chances(site)) {
        facts["drive_shape"] = *shape;
    }
    if (site.drive_material) {
        facts["drive_pipe_kind"] = kind_chances(*site.drive_material);
    }
    if (site.delivery_summit && site.lift && *site.delivery_summit - *site.lift > metres(real_summit_m)) {
        facts["delivery_profile"] = {{"tank_below_summit", 0.9}, {"high_spot", 0.1}};
    }
    return facts;
}

} // namespace beckhand

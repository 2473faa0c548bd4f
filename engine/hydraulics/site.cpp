// Names of pipe materials and of the halves of the earth as files and people write them.
#include "engine/hydraulics/site.h"

#include <utility>

namespace beckhand {

std::string_view id_of(PipeMaterial material) {
    switch (material) {
    case PipeMaterial::steel:
        return "steel";
    case PipeMaterial::cast_iron:
        return "cast_iron";
    case PipeMaterial::copper:
        return "copper";
    case PipeMaterial::rigid_plastic:
        return "rigid_plastic";
    case PipeMaterial::soft_plastic:
        return "soft_plastic";
    }
    return "steel";
}

std::string_view id_of(Hemisphere hemisphere) {
    return hemisphere == Hemisphere::south ? "south" : "north";
}

std::optional<Hemisphere> hemisphere_of(std::string_view id) {
    for (const Hemisphere one : {Hemisphere::north, Hemisphere::south}) {
        if (id == id_of(one))
            return one;
    }
    return std::nullopt;
}

std::optional<PipeMaterial> pipe_material(std::string_view id) {
    std::string key;
    for (const char c : id) {
        if (c == ' ' || c == '-' || c == '_' || c == '\t') {
            if (!key.empty() && key.back() != '_') {
                key += '_';
            }
        } else {
            key += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        }
    }
    if (!key.empty() && key.back() == '_') {
        key.pop_back();
    }
    if (key.size() > 5 && key.compare(key.size() - 5, 5, "_pipe") == 0) {
        key.erase(key.size() - 5);
    }

    using enum PipeMaterial;
    // "Galvanised iron" and a bare "iron" are threaded steel or wrought pipe, as stiff as steel; only cast
    // and ductile iron behave as cast_iron.
    static constexpr std::pair<std::string_view, PipeMaterial> words[] = {
        {"steel", steel},
        {"galvanised", steel},
        {"galvanized", steel},
        {"galv", steel},
        {"gi", steel},
        {"galvanised_iron", steel},
        {"galvanized_iron", steel},
        {"galvanised_steel", steel},
        {"galvanized_steel", steel},
        {"iron", steel},
        {"black_iron", steel},
        {"wrought_iron", steel},
        {"black_steel", steel},
        {"stainless", steel},
        {"stainless_steel", steel},
        {"cast_iron", cast_iron},
        {"cast", cast_iron},
        {"ci", cast_iron},
        {"ductile_iron", cast_iron},
        {"ductile", cast_iron},
        {"di", cast_iron},
        {"copper", copper},
        {"cu", copper},
        {"brass", copper},
        {"rigid_plastic", rigid_plastic},
        {"pvc", rigid_plastic},
        {"upvc", rigid_plastic},
        {"pvc_u", rigid_plastic},
        {"u_pvc", rigid_plastic},
        {"cpvc", rigid_plastic},
        {"pvc_c", rigid_plastic},
        {"abs", rigid_plastic},
        {"hard_plastic", rigid_plastic},
        {"soft_plastic", soft_plastic},
        {"pe", soft_plastic},
        {"hdpe", soft_plastic},
        {"mdpe", soft_plastic},
        {"ldpe", soft_plastic},
        {"pe80", soft_plastic},
        {"pe100", soft_plastic},
        {"poly", soft_plastic},
        {"polyethylene", soft_plastic},
        {"polythene", soft_plastic},
        {"pex", soft_plastic},
        {"rubber", soft_plastic},
        {"hose", soft_plastic},
        {"rubber_hose", soft_plastic},
    };
    for (const auto& word : words) {
        if (word.first == key) {
            return word.second;
        }
    }
    return std::nullopt;
}

const std::vector<PipeMaterial>& all_pipe_materials() {
    static const std::vector<PipeMaterial> all{PipeMaterial::steel, PipeMaterial::cast_iron,
                                               PipeMaterial::copper, PipeMaterial::rigid_plastic,
                                               PipeMaterial::soft_plastic};
    return all;
}

} // namespace beckhand

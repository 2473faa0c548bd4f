// Measures a drawn screen against the figures of the field, from what the kit registers and from the ink itself:
// sizes and gaps of what is pressed, letters, contrast, what is cut, covered, or off the glass, what scrolling and keys
// do not reach. Sources stand beside the figures in tests/app/kit_audit.h.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "app/kit/kit.h"

namespace beckhand::screens {

struct Glass {
    const char* name;
    float width, height;
    float text_scale = 1.0f;
    float px_per_mm = 6.3f;
};

/// What is not as it should be: by which rule, where, and what was found.
struct Finding {
    std::string rule, where, what;
};

/// The worst of what was measured, and where.
struct Worst {
    double value = 1e9;
    std::string where;
    void take(double one, const std::string& place) {
        if (one < value) *this = {one, place};
    }
};
struct Figures {
    Worst answer_mm, target_mm, gap_mm, edge_mm, contrast, main_contrast, outline_contrast, phone_letter_mm, tablet_letter_mm;
    long screens = 0, controls = 0, lines = 0, words_cut = 0;
};

class Audit {
public:
    Audit(kit::Kit& kit, Glass glass, std::string name, std::function<void()> draw);

    /// All of it, as the screen stands and scrolled to its end.
    void everything();
    /// Colours alone: for another light.
    void colours();
    /// Each thing to press is reached by the key that moves the focus, and stands in view when it is.
    void keys();

    std::vector<Finding> findings;
    Figures figures;

private:
    void settle();
    void targets();
    void letters();
    void words();
    void scroll_to_end(int region);
    void found(const std::string& rule, const std::string& where, const std::string& what);
    [[nodiscard]] std::string place(const kit::Control& control) const;

    kit::Kit& kit_;
    Glass glass_;
    std::string name_;
    std::function<void()> draw_;
    double seconds_ = 100;
};

void merge(Figures& all, const Figures& one);
/// One line for each rule that was broken: how often, and the first place.
[[nodiscard]] std::string summary(const std::vector<Finding>& findings, std::size_t most_places = 4);
[[nodiscard]] std::string table(const Figures& figures);

} // namespace beckhand::screens

// What the kit remembers between frames and the few moves every control is made of: take a place, listen
// for a press, draw. Only the kit's own files include this.
//
// Dear ImGui is used for three things: hit testing (InvisibleButton), the text field, and the draw list. The
// screen is one bare window; regions, scrolling and gestures are decided here.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include <imgui.h>

#include "app/kit/kit.h"
#include "app/kit/lettering.h"
#include "app/kit/shapes.h"

namespace beckhand::kit {

struct Touch {
    bool fired = false, held = false;
};

/// Cells that stand side by side: how tall each line of them is. A line ends when it is full or when
/// something else is placed.
struct Grid {
    std::vector<float> rows;
    int in_row = 0;
    bool cuts = false; // a word is wider than its cell
    void add(float h, int columns) {
        if (in_row == 0 || in_row >= columns) {
            rows.push_back(h);
            in_row = 0;
        }
        rows.back() = std::max(rows.back(), h);
        ++in_row;
    }
    [[nodiscard]] float tall(float gap) const {
        float sum = 0;
        for (const float h : rows) {
            sum += h + gap;
        }
        return sum;
    }
};
constexpr int most_columns = 3;
constexpr double moves_seconds = 20.0; // a drawing, before it stands still by itself

/// A column of content that may be longer than the window it is seen through.
struct Flow {
    Box view;               // what is seen
    float x = 0, w = 0;     // the column of text
    float full = 0;         // what rows and answers may take
    float y = 0, start = 0; // where the next control goes; where the content began
    float last_gap = -1;    // below the control before; negative: there is none
    float scroll = 0;
    float reveal_by = 0; // to scroll at the end of this frame
    float content = 0;   // height of all of it, last frame
    // What gives way so that a question fits without scrolling: the drawing, then the height of the answers.
    float fitted = 0, folded = 0,
          stretched = 0; // this frame: drawings, inside of open folds, answers over 15 mm
    int answers = 0;     // lines of them
    // As the answers would stand in 1, 2 and 3 columns, this frame and the one before; the rows of a list.
    std::array<Grid, most_columns> answer_grids, answer_grids_before;
    Grid list_grid, list_grid_before;
    int columns = 1; // of the answers, by the plan
    Box cell_line;   // the line being filled
    bool wants_drawing = false;
    float rest = 0;                    // height of all else, last frame
    float drawing_h = 0, answer_h = 0; // the plan for this frame
    bool used = false;
    [[nodiscard]] float furthest() const { return content > view.h + 0.5f ? std::ceil(content - view.h) : 0.0f; }
};

/// A button of the bottom bar. The bar is laid out from what it held in the frame before.
struct BarItem {
    std::string id, label;
    Slot slot = Slot::left;
    float want = 0; // width of its text with padding
    float need = 0; // of its longest word
    bool main = false;
    Box box;
};

/// A heading that opens in place. Two closed ones in a row share a line where both fit.
struct FoldItem {
    enum Half { whole, left, right };
    std::string id, heading;
    bool open = false;
    std::size_t order = 0; // place among the controls
    Half half = whole;
    float w = 0, h = 0; // its own width, the height of the shared line
    [[nodiscard]] bool same(const FoldItem& o) const {
        return id == o.id && heading == o.heading && open == o.open;
    }
};

enum class Gesture { none, press, scroll, called_off, deaf };

struct Kit::Inside {
    std::span<const std::byte> regular, bold;
    ImGuiContext* context = nullptr;
    Lettering letters;
    Palette palette;
    Theme theme = Theme::paper;
    bool themed = false;
    Metrics m;
    float width = 412, height = 915;

    // the finger
    Input input;
    double seconds = 0;
    Gesture gesture = Gesture::none;
    bool was_down = false;
    ImVec2 pressed_at{0, 0};
    int scrolling = -1; // which flow follows the finger or glides
    float scroll_from = 0, finger_from = 0, speed = 0;
    double moved_at = 0, glide_since = 0;
    float moved_y = 0, glide_speed = 0, glide_from = 0;
    double deaf_until = -1;
    std::vector<double> strikes; // not yet taken by a pad
    double struck_at = -1;       // last
    std::string pressed_id; // by key
    bool platform_writes = false;
    std::string written_id, written; // by the platform
    std::string held_by_key; // a hold button, while a key holds it
    std::string held_id;    // hold buttons, erase
    double held_since = 0;
    bool held_done = false;
    double wiping_until = -1; // the glass is being wiped
    Box wet_press;            // of the control being pressed on a wet glass, and how much of its time has passed
    float wet_share = 0;

    // what moves
    bool may_move = false, still = false; // still: by a tap
    double moving_since = 0;
    bool on_control = false; // the touch of now began on something to press

    // the frame
    std::string screen, screen_key, question, last_question;
    std::array<Flow, 2> flows; // side, main; on a tall screen both are the second
    int flow = 1;              // the one being filled, -1 for the bar
    bool clip_pushed = false, in_fold = false;
    float header = 0, bar_height = 0, bar_height_guess = 0;
    std::vector<BarItem> bar_items, bar_guess;
    std::vector<FoldItem> folds, fold_guess;
    Box fold_line;      // of the pair being drawn
    std::string reveal; // the fold just pressed: what it opens is scrolled into view
    bool settled = false;
    bool seen_to_end = false; // the main column, since the screen or its question changed
    int unsettled_frames = 0;
    std::vector<Control> controls;
    std::optional<double> wake;
    std::vector<Inked> noted;
    bool noting = false;
    std::string focus; // id of what the keys are at
    std::map<std::string, float> places; // how far lists were scrolled

    // kit.cpp, finger.cpp, regions.cpp
    void follow_finger();
    void draw_header(std::string_view title, std::string_view note);
    void enter(int which);
    void leave();
    void wake_after(double after);
    [[nodiscard]] Flow& here() { return flows[static_cast<std::size_t>(flow < 0 ? 1 : flow)]; }
    [[nodiscard]] Box take(float h, float gap);  // a box across the column
    [[nodiscard]] Box place(float h, float gap); // the same, without ending a line of cells
    /// The next cell of a grid of so many columns; `before` holds the heights found in the last frame.
    [[nodiscard]] Box take_cell(Grid& grid, const Grid& before, int columns, float least, float wanted);
    [[nodiscard]] float cell_width(int columns) {
        return columns <= 1 ? here().w
                            : std::floor((here().full - m.gap * static_cast<float>(columns - 1)) /
                                         static_cast<float>(columns));
    }
    [[nodiscard]] int columns_that_fit(const Flow& one) const;
    [[nodiscard]] int list_columns() const { return m.wide && !flows[0].used ? 2 : 1; }
    [[nodiscard]] bool key_pressed(std::string_view id);
    void register_control(Control control);
    /// Listens for a press on a box, one millimetre above it and two below (people hit low).
    [[nodiscard]] Touch listen(Control control, float up_mm = 1.0f, float down_mm = 2.0f,
                               float aside_mm = 0.0f);
    /// Seconds for which this control has been held; negative when it is not.
    [[nodiscard]] double held_for(std::string_view id, bool held);

    void plan(Flow& one) const; // shares out the height of a column

    // wet_glass.cpp
    void wet_strip();
    void show_how_long();
    [[nodiscard]] bool pressed_long_enough(const std::string& id, const Box& box, bool held);

    // focus.cpp
    void draw_focus();
    [[nodiscard]] bool focus_wants_holding() const;
    void bring_into_view(const Control& control);

    // folds.cpp
    void pair_folds();
    void reveal_from(std::string_view id, float top);

    // cards.cpp
    void band_fill(Box box, Colour colour) const;
    void caution_card(Box box, bool stop, bool held) const;
    void caution_head(float x, float y, bool stop, std::string_view word,
                      const Lines& head) const;

    // bar.cpp
    void lay_out_bar();
    float lay_out_bar_row(std::span<BarItem* const> order, float foot); // returns its height
    [[nodiscard]] bool bar_button(std::string_view id, std::string_view text, Slot slot, bool enabled,
                                  bool main);

    [[nodiscard]] bool answer(std::string_view id, std::string_view text, const Drawing* drawing, bool chosen);

    void move_anew(); // another screen, another question
    void tap_moves(); // a tap on free ground stops what moves, or starts it again

    // short ways
    [[nodiscard]] ImDrawList& ink() const { return *ImGui::GetWindowDrawList(); }
    [[nodiscard]] float mm(float millimetres) const { return m.px_per_mm * millimetres; }
    [[nodiscard]] Lines lines(Face face, std::string_view text, float w) const {
        return lines_of(letters, face, text, w);
    }
    [[nodiscard]] float tall(Face face, std::size_t lines_count) const {
        return static_cast<float>(lines_count) * line_step(letters, face);
    }
    [[nodiscard]] Control control(std::string_view role, std::string_view id, std::string_view label, Box box,
                                  Face face, Colour text, Colour ground) const;
    void box_outline(Box box, Colour colour, float stroke) const;
    void box_fill(Box box, Colour colour) const;
};

} // namespace beckhand::kit

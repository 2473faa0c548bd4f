// The controls every screen is built from: words, answer buttons, rows, ticks, a keypad, caution cards, and
// a place to draw. A view says what is on the screen from top to bottom; the kit places it, draws it with
// Dear ImGui and says what was pressed. Every control is also registered by meaning (role, label, place,
// state), which is what the tests drive and what can be read aloud.
//
// A screen has up to three regions. Side: the drawing and what is known; it stands on top on a tall screen
// and at the left on a wide one. Main: the question and its answers; it scrolls only when it must. Bar: the
// bottom row within the thumb's reach (back, cannot tell, go on).
//
//     kit.begin_screen("question", "Spring Meadow", "4 asked, 11 min");
//     kit.side();   draw_installation(kit, ...);
//     kit.main();   kit.words(Type::question, ask);  if (kit.answer("matted", "Matted over")) ...
//     kit.bar();    if (kit.bar_button("back", "Back", Side::left)) ...
//     kit.end_screen();
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

struct ImDrawList;
struct ImFont;

namespace beckhand::kit {

struct Box {
    float x = 0, y = 0, w = 0, h = 0;
};
struct Colour {
    std::uint8_t r = 0, g = 0, b = 0, a = 255;
};

enum class Theme { paper, dusk, night };
enum class Type { small, body, question, heading, figure };   // letter sizes, by what the text is for
enum class Tone { plain, good, watch, stop, water, unknown }; // never by colour alone: each has a shape
enum class Slot { left, middle, right };                      // places in the bottom bar

/// Named colours. Contrast is tested: ink and figures 15:1 on paper, other text 7:1, lines 4.5:1.
struct Palette {
    Colour paper, card, ink, quiet, line, water, water_text, good, good_text, watch, watch_text, stop,
        stop_text, press, earth;
};
[[nodiscard]] Palette palette_of(Theme theme);
[[nodiscard]] double contrast(Colour a, Colour b); // WCAG 2 relative luminance ratio, 1..21

/// Sizes in pixels, from millimetres (section 3 of the field figures: answers 17 mm high, keys 17 mm, gap
/// 3 mm, capitals 2.6 mm body and 3.5 mm question on a phone, 3.8 and 5.2 mm on a tablet).
struct Metrics {
    float px_per_mm = 6.3f;
    bool tablet = false;                                              // shorter side of 110 mm and more
    bool wide = false;                                                // side region at the left
    float small = 0, body = 0, question = 0, heading = 0, figure = 0; // font sizes
    float caption = 0; // of the letters in drawings
    float answer = 0, control = 0, key = 0, gap = 0, edge = 0, radius = 0, stroke = 0;
    [[nodiscard]] float mm(float millimetres) const { return millimetres * px_per_mm; }
};
[[nodiscard]] Metrics metrics_for(float width_px, float height_px, float px_per_mm, float text_scale);

/// One thing a person can press or read on the frame just drawn.
struct Control {
    // role: question, title, heading, text, figure, note, badge, card, caution, drawing, label (letters in a
    // drawing); and what is pressed: answer, action, bar, quiet, row, tick, fold, hold, key, field, pad
    std::string screen, role, id, label;
    Box box;
    int region = -1; // 0 side, 1 main (on a tall screen the side too), -1 header and bar
    bool enabled = true, chosen = false, clipped = false;
    float letter_px = 0;
    Colour text, ground;
};

/// What can be pressed, by its role.
[[nodiscard]] bool is_pressed(const Control& control);

/// One line of letters, or one outline, as it was drawn.
struct Inked {
    std::string text; // empty: an outline
    Box box;          // of letters: from the top of their capitals to their foot
    Box seen;         // what is clipped to
    Colour colour;
    float letter_px = 0;
    bool cut = false; // a word that was too long for its line goes on below
};

/// What the person is typing on the keypad.
struct Typed {
    std::string text;
    std::string unit;       // shown beside the figure, "L/min"
    std::string other_unit; // offered on the unit key, may be empty
    std::string note;       // plausible range, or what is wrong with it
    bool wrong = false;
};
inline constexpr char back_key = 27;
/// Draws in this box, with Kit::ink().
using Drawing = std::function<void(const Box&)>;

enum class KeypadPress { none, digit, erase, clear, unit, accept };

/// What the platform knows before a frame. `present`: a finger or a mouse is on or over the glass at x, y.
/// `wheel` in notches, positive towards the top. `seconds` of a clock that never goes back. `letters` and
/// `key` go to the text field that has been opened. `wet`: drops press too, so that a press takes half a second.
enum class Key { none, erase, remove, left, right, enter };
struct Input {
    bool present = false, down = false, wet = false;
    float x = 0, y = 0, wheel = 0;
    double seconds = 0;
    std::string letters;
    Key key = Key::none;
    std::vector<double> strikes; // of a pad: when it was touched, by the clock of `seconds`, earliest first
};

class Kit {
public:
    /// Fonts are bytes of OpenType files. Creates the Dear ImGui context; one Kit at a time.
    Kit(std::span<const std::byte> regular, std::span<const std::byte> bold);
    ~Kit();
    Kit(const Kit&) = delete;
    Kit& operator=(const Kit&) = delete;

    void set_theme(Theme theme);
    /// Loads the letters anew when their size changes: not within a frame.
    void set_size(float width_px, float height_px, float px_per_mm, float text_scale);
    [[nodiscard]] const Metrics& metrics() const;
    [[nodiscard]] const Palette& palette() const;

    // --- from the platform, before the frame ---
    /// A finger that travels 2 mm up or down scrolls, one that travels 4 mm calls its press off. For 350 ms
    /// after a press that may change the screen, new touches are not heard. While the glass is wet a control fires
    /// when it has been pressed for half a second, and a strip below the heading says so; pressed itself, it makes the
    /// screen deaf for 5 s, to be wiped.
    void feed(const Input& input);
    /// As if the control of this id were pressed in the next frame. One that is disabled stays silent.
    void press(std::string_view id);
    /// '1'..'9' the n-th answer (or that key of the keypad), '\b' back or erase, '\r' and ' ' what has the focus, else
    /// '\r' the action or accept, ' ' the pad; back_key the button back. Returns false when nothing on the screen takes it.
    bool press_key(char key);
    /// A key that chooses went down, or up again. A hold button that has the focus is held by it as by a finger: true
    /// when one is held now, and then the key is no press besides.
    bool hold_key(bool down);
    /// Keys alone: the focus goes to the next thing that can be pressed (1) or to the one before (-1), round and
    /// round, and is scrolled into view. A finger, a sign typed and another screen take it away.
    bool move_focus(int by);
    [[nodiscard]] std::string_view focus() const; // its id; empty: none
    [[nodiscard]] bool wants_letters() const; // a text field is open
    /// The platform writes by its own means: text fields take no letters, and stand as write_into last said.
    void leave_writing(bool to_platform);
    /// As if the person had written this into the field of this id, in the next frame.
    void write_into(std::string_view id, std::string_view text);

    /// A pad lies there. A touch on it counts where it comes down: it goes into Input::strikes with its own time and
    /// not through the pointer, so that neither filters nor frames delay it or take it for a bounce.
    [[nodiscard]] bool on_pad(float x, float y) const;
    /// This key strikes it: Space, and Enter where the focus is on it.
    [[nodiscard]] bool strikes_pad(char key) const;

    // --- the frame ---
    void begin_screen(std::string_view id, std::string_view title, std::string_view note = {});
    void side();
    void main();
    void bar();
    void end_screen();
    /// Once the foot of the main column has been in view on this screen, at this question; false until it was.
    [[nodiscard]] bool seen_to_end() const;
    /// The main column goes on by what the view holds, less a line, so that nothing is passed over.
    void scroll_on();
    /// False when sizes were guessed from another screen: draw again before showing it. Four passes at most.
    [[nodiscard]] bool settled() const;

    // --- words ---
    void words(Type type, std::string_view text, Tone tone = Tone::plain);
    void label_and_figure(std::string_view label, std::string_view figure, Tone tone = Tone::plain);
    /// A quiet note (a time of day), and beside it the text.
    void note_and_words(std::string_view note, std::string_view text);
    void space(float mm);
    void line();
    /// A short word in a shaped badge: a disc for good, a bar for watch, a triangle for stop, a ring for
    /// unknown.
    void badge(std::string_view text, Tone tone);

    // --- things to press; true in the frame in which they were ---
    /// On a wide screen answers stand in columns when one column would scroll, across and then down. Rows of
    /// a list that has a wide screen to itself stand in two.
    [[nodiscard]] bool answer(std::string_view id, std::string_view text, bool chosen = false);
    /// The same with a drawing at its left, which shows what the words say.
    [[nodiscard]] bool drawn_answer(std::string_view id, std::string_view text, const Drawing& drawing,
                                    bool chosen = false);
    /// The main thing to do here; and a smaller one.
    [[nodiscard]] bool action(std::string_view id, std::string_view text, bool enabled = true);
    [[nodiscard]] bool quiet(std::string_view id, std::string_view text);
    [[nodiscard]] bool row(std::string_view id, std::string_view title, std::string_view below,
                           std::string_view at_right = {}, Tone tone = Tone::plain);
    [[nodiscard]] bool tick(std::string_view id, std::string_view text, bool done);
    /// Opens in place: the heading, and when open what `inside` draws. Returns true when pressed. Two closed
    /// ones in a row share a line of a phone; on a wide screen they stand under the drawing.
    [[nodiscard]] bool fold(std::string_view id, std::string_view heading, bool open,
                            const std::function<void()>& inside);
    [[nodiscard]] bool bar_button(std::string_view id, std::string_view text, Slot slot, bool enabled = true,
                                  bool main_action = false);
    /// Takes all the height that is left, 40 mm at least, and says when it was struck, as often as it was. `lit`: it
    /// stands for something that is under way.
    [[nodiscard]] std::vector<double> pad(std::string_view id, std::string_view text, bool lit = false);
    /// Held down for `seconds` while it fills, by finger or by key; for what cannot be taken back.
    [[nodiscard]] bool hold(std::string_view id, std::string_view text, float seconds = 1.0f);
    /// Figure and unit on top, keys of 17 mm below: 7 8 9 / 4 5 6 / 1 2 3 / . 0 erase. Erase held clears all.
    /// For inches a row with space and / is added ("1 1/4"). Accept is placed in the bottom bar at the right,
    /// so leave Slot::right free.
    [[nodiscard]] KeypadPress keypad(std::string_view id, const Typed& typed, char& digit,
                                     std::string_view accept);
    /// One line of free text (names, notes); true when changed.
    [[nodiscard]] bool text_field(std::string_view id, std::string_view label, std::string& text);

    // --- cards ---
    void caution(std::string_view title, std::string_view text, std::string_view defer_to, bool stop);
    /// The titles of cautions on one card that is pressed to read them: true when it was; `inside` draws the
    /// cautions when it is open.
    [[nodiscard]] bool caution_titles(std::string_view id, std::string_view titles, bool stop, bool open,
                                      const std::function<void()>& inside);
    void card(Tone tone, std::string_view heading, std::string_view text);

    // --- drawing ---
    /// Whether drawings may move at all; they do not until the platform says so.
    void let_move(bool may);
    [[nodiscard]] bool may_move() const;
    /// Seconds since the drawings of this question began to move; none where they stand still: after 20 s, and
    /// after a tap on free ground, which starts them again too. Asks for the frames, 20 a second at most, and for
    /// none at rest.
    [[nodiscard]] std::optional<double> moving();
    /// Reserves a box of this height across the region. Height 0: as much as the words and answers of this
    /// screen leave, on a tall screen 20 mm to 28 %; h is 0 when there is no room and the drawing folds away.
    Box canvas(float height_px, std::string_view label);
    [[nodiscard]] ImDrawList* ink();
    /// At an absolute place, wrapped at this width unless it is 0; `ground` where that is not paper.
    void write(float x, float y, Type type, Colour colour, std::string_view text, float wrap = 0.0f,
               std::optional<Colour> ground = std::nullopt);
    [[nodiscard]] float width_of(Type type, std::string_view text) const;

    /// Registered since begin_screen; stays until the next begin_screen.
    [[nodiscard]] const std::vector<Control>& controls() const;
    /// Keeps what is drawn from now on, for those who measure it.
    void note_ink(bool on);
    [[nodiscard]] const std::vector<Inked>& inked() const; // since begin_screen
    /// Seconds since then, by the clock of the strikes; asks for the frame that shows the next whole one.
    [[nodiscard]] double seconds_since(double then);
    /// A held button or a moving drawing asks for the next frame after this many seconds; the smallest wins.
    void wake_after(double seconds);
    [[nodiscard]] std::optional<double> wake() const;

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

} // namespace beckhand::kit

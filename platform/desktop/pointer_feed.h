// From raw contacts on the glass to what the screens are told: one finger, at most one change a frame, in
// the order hover, down, up, settle, away. Rain, sleeves and bounces are filtered. A pure state machine: time
// comes with each contact, so recorded traces can be played through it.
//
// What counts as a tap, for fingers (a mouse is believed):
//   lasts 45 to 1200 ms; shorter or longer ones are called off, though a held button fires while held
//   three or more contacts at once: nothing counts until 250 ms after the last has left
//   within 3 mm and 160 ms of the press before: a bounce
//   three that come down within 0.3 s at different places: a burst of rain; as a crowd
//   still for 3 s: a drop of water; it counts no more until it leaves
// More than six that did not count within 5 s: the glass is wet. It is dry again after 20 s without another. While
// it is wet the screens ask for a longer press.
#pragma once

#include <deque>
#include <optional>
#include <vector>

namespace beckhand {

inline constexpr long long mouse_finger = -1;

struct Contact {
    enum What { down, move, up } what = down;
    long long finger = 0; // mouse_finger for the mouse
    float x = 0, y = 0;   // px
    double seconds = 0;   // of a clock that never goes back
};

/// What the next frame is told. Not `present`: nothing touches the glass.
struct Pointer {
    bool present = false, down = false;
    float x = 0, y = 0;
};

class PointerFeed {
public:
    explicit PointerFeed(float px_per_mm) : px_per_mm_(px_per_mm) {}
    void set_density(float px_per_mm) { px_per_mm_ = px_per_mm; }

    void hear(const Contact& contact);
    /// Takes one change from the queue, or repeats where the pointer is.
    [[nodiscard]] Pointer next(double now);
    /// More changes are waiting: draw on.
    [[nodiscard]] bool pending() const { return !queue_.empty(); }
    /// Seconds until a contact at rest must be looked at again, or the glass counts as dry.
    [[nodiscard]] std::optional<double> wake(double now) const;
    /// So many contacts were refused lately that water must be on the glass.
    [[nodiscard]] bool wet(double now) const { return now < wet_until_; }

private:
    struct Finger {
        long long id = 0;
        float x = 0, y = 0; // where it came down
        double since = 0, moved = 0;
    };

    void press(const Contact& contact);
    void release(const Contact& contact, const Finger& finger);
    void call_off();
    void refuse(double seconds);
    [[nodiscard]] bool burst(const Contact& contact);

    float px_per_mm_;
    std::vector<Finger> fingers_; // all on the glass
    std::optional<long long> leading_;
    double deaf_until_ = -1; // after a crowd
    double pressed_at_ = -1; // the last press that counted
    float pressed_x_ = 0, pressed_y_ = 0;
    std::deque<Contact> landed_;   // the last few that came down
    std::deque<double> refused_;   // when, the last few
    double wet_until_ = -1;
    std::deque<Pointer> queue_;
    Pointer shown_;
};

} // namespace beckhand

#include "platform/desktop/pointer_feed.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace beckhand {

namespace {

constexpr double shortest_tap = 0.045, longest_tap = 1.200;
constexpr std::size_t crowd = 3;
constexpr double after_crowd = 0.250;
constexpr double bounce_seconds = 0.160;   // a thumb that types a digit twice takes longer
constexpr float bounce_mm = 3.0f;
constexpr double drop_seconds = 3.0;
constexpr float drop_mm = 1.0f;
constexpr std::size_t burst_size = 3;
constexpr double burst_seconds = 0.300;
constexpr float burst_mm = 10.0f;
constexpr std::size_t most_refused = 6;
constexpr double refused_seconds = 5.0, dry_seconds = 20.0;

} // namespace

void PointerFeed::hear(const Contact& contact) {
    const auto known = std::find_if(fingers_.begin(), fingers_.end(),
                                    [&](const Finger& f) { return f.id == contact.finger; });
    if (contact.what == Contact::down) {
        if (known != fingers_.end()) {
            return;
        }
        fingers_.push_back({contact.finger, contact.x, contact.y, contact.seconds, contact.seconds});
        if (fingers_.size() >= crowd || burst(contact)) {
            call_off();
            refuse(contact.seconds);
            deaf_until_ = std::numeric_limits<double>::infinity();
        } else if (!leading_) {
            press(contact);
        }
        return;
    }
    if (known == fingers_.end()) {
        return;
    }
    if (contact.what == Contact::move) {
        if (std::hypot(contact.x - known->x, contact.y - known->y) > drop_mm * px_per_mm_) {
            known->moved = contact.seconds;
        }
        if (leading_ == contact.finger) {
            const Pointer moved{true, true, contact.x, contact.y};
            // Moves on the way are told as one; the press before them is told on its own.
            const bool waiting = queue_.size() >= 2 && queue_.back().down && queue_[queue_.size() - 2].down;
            if (waiting) {
                queue_.back() = moved;
            } else {
                queue_.push_back(moved);
            }
        }
        return;
    }
    const Finger finger = *known;
    fingers_.erase(known);
    if (leading_ == contact.finger) {
        release(contact, finger);
    }
    if (fingers_.empty() && std::isinf(deaf_until_)) {
        deaf_until_ = contact.seconds + after_crowd;
    }
}

void PointerFeed::press(const Contact& contact) {
    const bool mouse = contact.finger == mouse_finger;
    const bool near = std::hypot(contact.x - pressed_x_, contact.y - pressed_y_) < bounce_mm * px_per_mm_;
    const bool bounce = pressed_at_ >= 0.0 && near && contact.seconds - pressed_at_ < bounce_seconds;
    if (contact.seconds < deaf_until_ || (bounce && !mouse)) {
        refuse(contact.seconds);
        return;
    }
    leading_ = contact.finger;
    pressed_at_ = contact.seconds;
    pressed_x_ = contact.x;
    pressed_y_ = contact.y;
    queue_.push_back({true, false, contact.x, contact.y});
    queue_.push_back({true, true, contact.x, contact.y});
}

void PointerFeed::release(const Contact& contact, const Finger& finger) {
    leading_.reset();
    const double lasted = contact.seconds - finger.since;
    const bool moved = finger.moved > finger.since; // a long drag is a scroll, and may last
    const bool tap = finger.id == mouse_finger || moved || (lasted >= shortest_tap && lasted <= longest_tap);
    if (!tap) {
        leading_ = contact.finger;
        call_off();
        refuse(contact.seconds);
        return;
    }
    queue_.push_back({true, false, contact.x, contact.y}); // up
    queue_.push_back({true, false, contact.x, contact.y}); // settle
    queue_.push_back({});                                  // away
}

// Drops land faster, and further apart, than one hand can press.
bool PointerFeed::burst(const Contact& contact) {
    if (contact.finger == mouse_finger) {
        return false;
    }
    landed_.push_back(contact);
    while (landed_.size() > burst_size) {
        landed_.pop_front();
    }
    if (landed_.size() < burst_size || contact.seconds - landed_.front().seconds > burst_seconds) {
        return false;
    }
    for (std::size_t i = 0; i < landed_.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            if (std::hypot(landed_[i].x - landed_[j].x, landed_[i].y - landed_[j].y) < burst_mm * px_per_mm_) {
                return false;
            }
        }
    }
    return true;
}

void PointerFeed::refuse(double seconds) {
    refused_.push_back(seconds);
    while (seconds - refused_.front() > refused_seconds) {
        refused_.pop_front();
    }
    if (refused_.size() > most_refused || wet(seconds)) {
        wet_until_ = seconds + dry_seconds;
    }
}

// The pointer leaves the glass while still down: nothing under it fires.
void PointerFeed::call_off() {
    if (leading_) {
        leading_.reset();
        queue_.push_back({});
    }
}

Pointer PointerFeed::next(double now) {
    for (Finger& finger : fingers_) {
        const bool leads = leading_ == finger.id;
        if (leads && finger.id != mouse_finger &&
            now - std::max(finger.since, finger.moved) >= drop_seconds) {
            call_off();
            refuse(now);
        }
    }
    if (!queue_.empty()) {
        shown_ = queue_.front();
        queue_.pop_front();
    }
    return shown_;
}

std::optional<double> PointerFeed::wake(double now) const {
    for (const Finger& finger : fingers_) {
        if (leading_ == finger.id && finger.id != mouse_finger) {
            return std::max(0.0, std::max(finger.since, finger.moved) + drop_seconds - now);
        }
    }
    return wet(now) ? std::optional(wet_until_ - now) : std::nullopt;
}

} // namespace beckhand

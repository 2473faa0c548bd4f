// The microphone, open exactly while the app listens. Sound is taken on the thread of the window, a tenth of a second at
// a time; nothing of it is kept or written anywhere.
#pragma once

#include <string>
#include <vector>

#include "app/app.h"

namespace beckhand {

class Microphone {
public:
    static constexpr double seconds_between = 0.1;

    Microphone() = default;
    ~Microphone();
    Microphone(const Microphone&) = delete;
    Microphone& operator=(const Microphone&) = delete;

    /// Opens, closes and passes on, as the app wants it. True when something new is to be seen.
    bool follow(App& app);
    [[nodiscard]] bool open() const { return device_ != 0; }

private:
    void close();
    unsigned device_ = 0;
    double rate_ = 0;
    bool refused_ = false;   // tried and failed: not again before the app has stopped listening
};

/// A WAV file as one channel, -1 to 1.
struct Recording { std::vector<float> samples; double samples_per_second = 0; };
[[nodiscard]] Result<Recording> read_recording(const std::string& file);

} // namespace beckhand

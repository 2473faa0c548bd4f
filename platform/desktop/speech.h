// Sentences read aloud by a small synthesiser that needs no network (flite), on the sound device. The device is open
// only while something is said.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "engine/problem.h"

namespace beckhand {

/// Sound of one channel.
struct Sound {
    int rate = 0;                      // samples a second
    std::vector<std::int16_t> samples;
};

class Speech {
public:
    Speech();
    ~Speech();
    Speech(const Speech&) = delete;
    Speech& operator=(const Speech&) = delete;

    /// Says these in place of whatever is still being said; returns at once. Fails where there is no sound device.
    [[nodiscard]] Outcome say(std::vector<std::string> sentences);
    /// Silent from now on.
    void hush();

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

/// One sentence as sound, at about 150 words a minute, which young and old follow with ease.
[[nodiscard]] Sound sound_of(const std::string& sentence);

} // namespace beckhand

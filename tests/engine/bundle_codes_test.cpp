// Codes on a screen: the erasure code alone, then frames drawn, photographed by a made-up camera and read by
// zbar. BECKHAND_CODES gives the number of photographs (short: 40 clean, 60 distorted).
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <functional>

#include "engine/bundle/frames.h"
#include "engine/bundle/seal.h"
#include "engine/bundle/slice_cbor.h"
#include "tests/support/camera.h"
#include "tests/support/shipped_pack.h"
#include "tests/support/slices.h"

using namespace beckhand;
using namespace beckhand::bundle;
using namespace beckhand::tests;

namespace {

int wanted_photos(int otherwise) {
    const char* const wanted = std::getenv("BECKHAND_CODES");
    return wanted ? std::max(1, std::atoi(wanted)) : otherwise;
}

Bytes random_bytes_of(std::size_t size, std::mt19937& random) {
    Bytes bytes(size);
    for (std::uint8_t& byte : bytes) byte = static_cast<std::uint8_t>(random());
    return bytes;
}

const Bytes& site_of_40_visits() {
    static const Bytes bundle = *seal(Content::log, *write_slice(visited_site(shipped_pack(), 40, 1)),
                                      device_key(std::array<std::uint8_t, 32>{4}));
    return bundle;
}

/// Frames shown until the bundle is whole, each seen with likelihood 1 - loss.
int shown_until_whole(const FrameSource& source, const Bytes& bundle, double loss, std::mt19937& random) {
    FrameCollector collector;
    std::uniform_real_distribution<double> chance(0, 1);
    int shown = 0;
    while (collector.have() < source.parts() || collector.parts() == 0) {
        const Bytes frame = source.frame(static_cast<std::uint16_t>(shown++));
        if (chance(random) >= loss) collector.take(frame);
    }
    CHECK(collector.bundle() == bundle);
    return shown;
}

struct Tally { int photos = 0, exact = 0, wrong = 0, wrong_taken = 0; };

/// Photographs of frames of one bundle; a frame that was misread must not be taken for one.
Tally photograph_frames(int photos, const std::function<View(std::mt19937&)>& view) {
    std::mt19937 random(7);
    const FrameSource source = *FrameSource::of(site_of_40_visits(), shown_bytes);
    Tally tally;
    for (int i = 0; i < photos; ++i) {
        const Bytes frame = source.frame(static_cast<std::uint16_t>(random()));
        const auto seen = read_code(photograph(*qr_squares(frame), view(random), random));
        ++tally.photos;
        if (!seen) continue;
        if (*seen == frame) ++tally.exact;
        else {
            ++tally.wrong;
            FrameCollector collector;
            tally.wrong_taken += collector.take(*seen) == FrameCollector::Took::no_frame ? 0 : 1;
        }
    }
    return tally;
}

View hand_held(std::mt19937& random) {
    std::uniform_real_distribution<double> part(-1, 1);
    return View{6, part(random) * 8 * 3.14159265 / 180, 0.10, part(random) * 3.14159265, 1.0, 8};
}

} // namespace

TEST_CASE("a bundle comes back from any mixture of its frames, about as many as it has parts") {
    std::mt19937 random(3);
    for (const std::size_t size : {1u, 100u, 252u, 6'000u, 60'000u}) {
        const Bytes bundle = random_bytes_of(size, random);
        const FrameSource source = *FrameSource::of(bundle, shown_bytes);
        FrameCollector collector;
        const auto first = static_cast<std::uint16_t>(random());
        std::uint16_t taken = 0;
        while (collector.have() < source.parts() || collector.parts() == 0) {
            collector.take(source.frame(static_cast<std::uint16_t>(first + taken++)));
        }
        CHECK(collector.bundle() == bundle);
        CHECK(taken <= source.parts() + 4);
    }
    CHECK(!FrameSource::of(Bytes(252 * most_parts), shown_bytes));
}

TEST_CASE("a frame with any bit flipped is no frame, and one of another bundle is told apart") {
    std::mt19937 random(5);
    const Bytes bundle = random_bytes_of(1'000, random), other = random_bytes_of(1'000, random);
    const FrameSource source = *FrameSource::of(bundle, 120);
    Bytes frame = source.frame(3);
    FrameCollector collector;
    for (std::size_t bit = 0; bit < frame.size() * 8; ++bit) {
        frame[bit / 8] = static_cast<std::uint8_t>(frame[bit / 8] ^ 1u << bit % 8);
        CHECK(collector.take(frame) == FrameCollector::Took::no_frame);
        frame[bit / 8] = static_cast<std::uint8_t>(frame[bit / 8] ^ 1u << bit % 8);
    }
    CHECK(collector.take(frame) == FrameCollector::Took::new_part);
    CHECK(collector.take(frame) == FrameCollector::Took::nothing_new);
    CHECK(collector.take(FrameSource::of(other, 120)->frame(0)) == FrameCollector::Took::of_another);
}

TEST_CASE("frames made up to fit but of wrong content never give a bundle") {
    std::mt19937 random(6);
    const Bytes bundle = random_bytes_of(500, random);
    Bytes other = bundle;
    other[10] ^= 1;
    const FrameSource source = *FrameSource::of(bundle, 120), false_one = *FrameSource::of(other, 120);
    FrameCollector collector;
    collector.take(source.frame(0));
    for (std::uint16_t i = 1; i < source.parts(); ++i) {
        Bytes frame = false_one.frame(i);                     // another's part under this transfer's name
        const Bytes right = source.frame(i);
        std::copy(right.begin(), right.begin() + 16, frame.begin());
        frame[20] = static_cast<std::uint8_t>(frame[20] ^ 0x55);
        const Digest check = digest_of(ByteView(frame).first(frame.size() - 4));
        std::copy(check.begin(), check.begin() + 4, frame.end() - 4);
        CHECK(collector.take(frame) == FrameCollector::Took::new_part);
    }
    CHECK(collector.have() == collector.parts());
    CHECK(!collector.bundle());
}

TEST_CASE("a site of 40 visits passes in under ten seconds of frames when three in ten are lost") {
    const Bytes& bundle = site_of_40_visits();
    const FrameSource source = *FrameSource::of(bundle, shown_bytes);
    std::mt19937 random(11);
    std::vector<int> shown;
    for (int run = 0; run < 200; ++run) shown.push_back(shown_until_whole(source, bundle, 0.3, random));
    std::sort(shown.begin(), shown.end());
    const double middle = static_cast<double>(shown[100]) / frames_a_second;
    const double slowest = static_cast<double>(shown.back()) / frames_a_second;
    MESSAGE(bundle.size() << " bytes, " << source.parts() << " parts, " << middle << " s in the middle, " << slowest
                          << " s at the slowest of 200");
    CHECK(slowest < 10.0);
    CHECK(shown[100] <= 1.1 * static_cast<double>(source.parts()) / 0.7 + 1);
    for (const double loss : {0.0, 0.5}) {
        const int frames = shown_until_whole(source, bundle, loss, random);
        CHECK(frames >= static_cast<int>(source.parts()));
        if (loss == 0.0) CHECK(frames == static_cast<int>(source.parts()));
    }
}

TEST_CASE("codes photographed straight on are read to the last byte") {
    const Tally tally = photograph_frames(wanted_photos(40), [](std::mt19937&) { return View{}; });
    CHECK(tally.exact == tally.photos);
    CHECK(tally.wrong == 0);
}

TEST_CASE("codes held in the hand: turned to 8 degrees, tilted 10 %, blurred and noisy, 95 in 100 are read, none wrongly") {
    const Tally tally = photograph_frames(wanted_photos(60), hand_held);
    MESSAGE(tally.exact << " of " << tally.photos << " read, " << tally.wrong << " misread, " << tally.wrong_taken
                        << " of them taken");
    CHECK(tally.exact * 100 >= tally.photos * 95);
    CHECK(tally.wrong_taken == 0);
}

TEST_CASE("the control: a camera out of focus reads hardly a code, and the test above would say so") {
    const Tally tally = photograph_frames(10, [](std::mt19937&) { return View{3, 0.1, 0.3, 0, 4.0, 30}; });
    CHECK(tally.exact < 5);
    CHECK(tally.wrong_taken == 0);
}

TEST_CASE("a whole site goes from screen to camera to log, with frames lost, and is the same log") {
    std::mt19937 random(13);
    const LogSlice slice = visited_site(shipped_pack(), 4, 2);
    const Bytes bundle = *seal(Content::log, *write_slice(slice), device_key(std::array<std::uint8_t, 32>{4}));
    const FrameSource source = *FrameSource::of(bundle, shown_bytes);
    FrameCollector collector;
    for (std::uint16_t number = 0; !collector.bundle() && number < 200; ++number) {
        if (random() % 10 < 3) continue;
        if (const auto seen = read_code(photograph(*qr_squares(source.frame(number)), hand_held(random), random)))
            collector.take(*seen);
    }
    REQUIRE(collector.bundle());
    const auto opened = unseal(*collector.bundle());
    REQUIRE(opened);
    CHECK(digest_of(*read_slice(opened->inside)) == digest_of(slice));
}

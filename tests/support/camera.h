// A made-up camera in front of a screen that shows a code: turned, tilted, blurred, noisy. And zbar, which
// reads what it saw.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <vector>

#include <zbar.h>

#include "engine/bundle/qr.h"

namespace beckhand::tests {

struct View {
    double dots = 6;        // of the camera for each square of the code
    double turn = 0;        // radians
    double tilt = 0;        // how much smaller the far side is than the near one: 0.1 is 10 %
    double tilt_towards = 0;// radians: the direction of the far side
    double blur = 0;        // standard deviation of a Gaussian, dots
    double noise = 0;       // standard deviation, of 255
};

struct Photo {
    int side = 0;
    std::vector<std::uint8_t> grey;
};

inline void blur(Photo& photo, double sigma) {
    if (sigma <= 0) return;
    const int reach = static_cast<int>(std::ceil(3 * sigma));
    std::vector<double> weights;
    double sum = 0;
    for (int i = -reach; i <= reach; ++i) {
        weights.push_back(std::exp(-i * i / (2 * sigma * sigma)));
        sum += weights.back();
    }
    for (const bool across : {true, false}) {
        const std::vector<std::uint8_t> from = photo.grey;
        for (int y = 0; y < photo.side; ++y) {
            for (int x = 0; x < photo.side; ++x) {
                double value = 0;
                for (int i = -reach; i <= reach; ++i) {
                    const int u = std::clamp(across ? x + i : x, 0, photo.side - 1);
                    const int v = std::clamp(across ? y : y + i, 0, photo.side - 1);
                    value += weights[static_cast<std::size_t>(i + reach)] * from[static_cast<std::size_t>(v * photo.side + u)];
                }
                photo.grey[static_cast<std::size_t>(y * photo.side + x)] = static_cast<std::uint8_t>(std::lround(value / sum));
            }
        }
    }
}

inline Photo photograph(const bundle::QrSquares& code, const View& view, std::mt19937& random) {
    const double squares = code.width + 8;
    Photo photo;
    photo.side = static_cast<int>(squares * view.dots * 1.25);
    photo.grey.resize(static_cast<std::size_t>(photo.side) * static_cast<std::size_t>(photo.side));
    const double middle = photo.side / 2.0;
    const auto square_at = [&](double x, double y) {
        // Back from the picture to the plane of the code: undo the tilt along its direction, then the turn.
        double u = (x - middle) / view.dots, v = (y - middle) / view.dots;
        const double far = (u * std::cos(view.tilt_towards) + v * std::sin(view.tilt_towards)) / (squares / 2);
        const double stretch = 1 / (1 - view.tilt / 2 * (1 + far));
        u *= stretch, v *= stretch;
        const double a = u * std::cos(view.turn) + v * std::sin(view.turn) + code.width / 2.0;
        const double b = -u * std::sin(view.turn) + v * std::cos(view.turn) + code.width / 2.0;
        const int column = static_cast<int>(std::floor(a)), row = static_cast<int>(std::floor(b));
        const bool inside = column >= 0 && row >= 0 && column < code.width && row < code.width;
        return inside && code.dark[static_cast<std::size_t>(row * code.width + column)] ? 25.0 : 230.0;
    };
    for (int y = 0; y < photo.side; ++y) {
        for (int x = 0; x < photo.side; ++x) {
            double value = 0;
            for (const double dy : {0.17, 0.5, 0.83}) {
                for (const double dx : {0.17, 0.5, 0.83}) value += square_at(x + dx, y + dy) / 9;
            }
            photo.grey[static_cast<std::size_t>(y * photo.side + x)] = static_cast<std::uint8_t>(std::lround(value));
        }
    }
    blur(photo, view.blur);
    std::normal_distribution<double> noise(0, std::max(view.noise, 1e-9));
    for (std::uint8_t& dot : photo.grey) {
        dot = static_cast<std::uint8_t>(std::clamp(std::lround(dot + noise(random)), 0L, 255L));
    }
    return photo;
}

/// The bytes of the one code in the photo, or nothing.
inline std::optional<bundle::Bytes> read_code(const Photo& photo) {
    zbar::ImageScanner scanner;
    scanner.set_config(zbar::ZBAR_NONE, zbar::ZBAR_CFG_ENABLE, 0);
    scanner.set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_ENABLE, 1);
    scanner.set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_BINARY, 1); // the bytes as they are, no guess at text
    const auto side = static_cast<unsigned>(photo.side);
    zbar::Image image(side, side, "Y800", photo.grey.data(), photo.grey.size());
    if (scanner.scan(image) != 1) return std::nullopt;
    const std::string data = image.symbol_begin()->get_data();
    return bundle::Bytes(data.begin(), data.end());
}

} // namespace beckhand::tests

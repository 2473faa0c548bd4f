#include "engine/bundle/frames.h"

#include <algorithm>

#include <sodium.h>

namespace beckhand::bundle {
namespace {

constexpr std::uint8_t format = 1;
constexpr std::size_t transfer_size = 8, head_size = 16, check_size = 4;
static_assert(head_size + check_size == frame_overhead);

struct Tables {
    std::array<std::uint8_t, 256> log{};
    std::array<std::uint8_t, 510> power{};
};
constexpr Tables make_tables() {
    Tables tables;
    unsigned value = 1;
    for (unsigned i = 0; i < 255; ++i) {
        tables.power[i] = tables.power[i + 255] = static_cast<std::uint8_t>(value);
        tables.log[value] = static_cast<std::uint8_t>(i);
        value ^= value << 1; // times 3, which generates the field
        if (value & 0x100)
            value ^= 0x11b;
    }
    return tables;
}
constexpr Tables tables = make_tables();

std::uint8_t inverse(std::uint8_t a) {
    return tables.power[(255u - tables.log[a]) % 255u];
}

/// target += factor * row
void add(Bytes& target, const Bytes& row, std::uint8_t factor) {
    if (factor == 0)
        return;
    for (std::size_t i = 0; i < target.size(); ++i) {
        target[i] = static_cast<std::uint8_t>(target[i] ^ times(row[i], factor));
    }
}
void scale(Bytes& row, std::uint8_t factor) {
    for (std::uint8_t& byte : row) {
        byte = times(byte, factor);
    }
}

/// The shares of the parts in a frame: one part alone first, then as drawn from its number.
Bytes factors_of(std::uint16_t number, std::size_t parts, ByteView transfer) {
    Bytes factors(parts);
    if (number < parts) {
        factors[number] = 1;
        return factors;
    }
    std::array<std::uint8_t, randombytes_SEEDBYTES> seed{};
    std::copy(transfer.begin(), transfer.end(), seed.begin());
    seed[transfer_size] = static_cast<std::uint8_t>(number >> 8);
    seed[transfer_size + 1] = static_cast<std::uint8_t>(number & 0xff);
    randombytes_buf_deterministic(factors.data(), factors.size(), seed.data());
    return factors;
}

void put(Bytes& out, std::size_t number, int bytes) {
    for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8) {
        out.push_back(static_cast<std::uint8_t>(number >> shift & 0xff));
    }
}
std::size_t get(ByteView bytes, std::size_t at, std::size_t count) {
    std::size_t number = 0;
    for (std::size_t i = 0; i < count; ++i) {
        number = number << 8 | bytes[at + i];
    }
    return number;
}

} // namespace

std::uint8_t times(std::uint8_t a, std::uint8_t b) {
    return a == 0 || b == 0 ? std::uint8_t{0} : tables.power[std::size_t{tables.log[a]} + tables.log[b]];
}

Result<FrameSource> FrameSource::of(ByteView bundle, std::size_t frame_size) {
    const std::size_t room = frame_size > frame_overhead ? frame_size - frame_overhead : 0;
    if (room == 0 || bundle.empty() || bundle.size() > room * most_parts) {
        return Problem{"codes", "This is too much for codes on the screen.",
                       "Hand it over as a file, or fewer sites at a time."};
    }
    FrameSource source;
    source.size_ = bundle.size();
    source.name_ = digest_of(bundle);
    const std::size_t parts = (bundle.size() + room - 1) / room;
    const std::size_t part_size = (bundle.size() + parts - 1) / parts;
    for (std::size_t at = 0; at < bundle.size(); at += part_size) {
        const ByteView slice = bundle.subspan(at, std::min(part_size, bundle.size() - at));
        Bytes part(slice.begin(), slice.end());
        part.resize(part_size);
        source.parts_.push_back(std::move(part));
    }
    return source;
}

Bytes FrameSource::frame(std::uint16_t number) const {
    Bytes frame{format};
    frame.insert(frame.end(), name_.begin(), name_.begin() + transfer_size);
    put(frame, parts_.size(), 2);
    put(frame, size_, 3);
    put(frame, number, 2);
    Bytes mixture(parts_.front().size());
    const Bytes factors = factors_of(number, parts_.size(), ByteView(name_).first(transfer_size));
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        add(mixture, parts_[i], factors[i]);
    }
    frame.insert(frame.end(), mixture.begin(), mixture.end());
    const Digest check = digest_of(frame);
    frame.insert(frame.end(), check.begin(), check.begin() + check_size);
    return frame;
}

FrameCollector::Took FrameCollector::take(ByteView frame) {
    if (frame.size() <= frame_overhead || frame[0] != format)
        return Took::no_frame;
    const ByteView checked = frame.first(frame.size() - check_size);
    const Digest check = digest_of(checked);
    if (!std::equal(check.begin(), check.begin() + check_size, frame.end() - check_size))
        return Took::no_frame;
    const ByteView transfer = frame.subspan(1, transfer_size);
    const std::size_t parts = get(frame, 9, 2), size = get(frame, 11, 3);
    const auto number = static_cast<std::uint16_t>(get(frame, 14, 2));
    const ByteView mixture = checked.subspan(head_size);
    if (parts == 0 || parts > most_parts || size == 0 || (size + parts - 1) / parts != mixture.size())
        return Took::no_frame;
    if (transfer_.empty()) {
        transfer_.assign(transfer.begin(), transfer.end());
        rows_.resize(parts);
        size_ = size;
        part_size_ = mixture.size();
    }
    if (!std::equal(transfer.begin(), transfer.end(), transfer_.begin()) || parts != rows_.size() ||
        size != size_)
        return Took::of_another;

    Row row{factors_of(number, parts, transfer), Bytes(mixture.begin(), mixture.end())};
    for (std::size_t i = 0; i < parts; ++i) {
        const std::uint8_t factor = row.factors[i];
        if (factor == 0)
            continue;
        if (rows_[i]) {
            add(row.factors, rows_[i]->factors, factor);
            add(row.mixture, rows_[i]->mixture, factor);
            continue;
        }
        scale(row.mixture, inverse(factor));
        scale(row.factors, inverse(factor));
        rows_[i] = std::move(row);
        ++have_;
        return Took::new_part;
    }
    return Took::nothing_new;
}

std::optional<Bytes> FrameCollector::bundle() const {
    if (rows_.empty() || have_ != rows_.size())
        return std::nullopt;
    std::vector<Bytes> parts(rows_.size());
    for (std::size_t i = rows_.size(); i-- > 0;) {
        parts[i] = rows_[i]->mixture;
        for (std::size_t later = i + 1; later < rows_.size(); ++later) {
            add(parts[i], parts[later], rows_[i]->factors[later]);
        }
    }
    Bytes bundle;
    for (const Bytes& part : parts) {
        bundle.insert(bundle.end(), part.begin(), part.end());
    }
    bundle.resize(std::min(bundle.size(), size_));
    const Digest name = digest_of(bundle);
    if (bundle.size() != size_ || !std::equal(transfer_.begin(), transfer_.end(), name.begin()))
        return std::nullopt;
    return bundle;
}

} // namespace beckhand::bundle

// The hash that names a pack's content: the same knowledge has the same hash, whatever file it came in.
#include <sodium.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

#include "engine/diagnosis/pack_file.h"
#include "engine/diagnosis/pack_shape.h"

namespace beckhand {

namespace {

// Every value goes in as kind, length in decimal, colon, bytes; every list and table with its count first.
// No two packs give the same text.
class CanonicalText {
public:
    void field(std::string_view, const std::string& text) { put('t', text); }
    void field(std::string_view, bool yes) { put('f', yes ? "1" : "0"); }
    void field(std::string_view, Place place) { put('w', id_of(place)); }
    void field(std::string_view, PumpState state) { put('w', id_of(state)); }
    void field(std::string_view, Mark mark) { put('w', id_of(mark)); }
    void field(std::string_view, Moves moves) { put('w', id_of(moves)); }
    void field(std::string_view, double number) {
        // The bits, so that no rounding or decimal comma of a locale comes in; +0 and -0 are one number.
        const double plain = number + 0.0;
        std::uint64_t bits = 0;
        std::memcpy(&bits, &plain, sizeof bits);
        std::array<char, 17> hex{};
        std::snprintf(hex.data(), hex.size(), "%016llx", static_cast<unsigned long long>(bits));
        put('n', hex.data());
    }

    template <class Value>
    void list(std::string_view, const std::vector<Value>& values) {
        put('l', std::to_string(values.size()));
        for (const Value& value : values) {
            field({}, value);
        }
    }
    template <class Thing>
    void rows(std::string_view, const std::vector<Thing>& things) {
        put('r', std::to_string(things.size()));
        for (const Thing& thing : things) {
            pack_shape::shape(*this, thing);
        }
    }
    template <class Thing>
    void inside(std::string_view, const Thing& thing) {
        pack_shape::shape(*this, thing);
    }

    [[nodiscard]] const std::string& text() const { return text_; }

private:
    void put(char kind, std::string_view value) {
        text_ += kind;
        text_ += std::to_string(value.size());
        text_ += ':';
        text_ += value;
    }
    std::string text_;
};

} // namespace

std::string content_hash(const Pack& pack) {
    CanonicalText canonical;
    canonical.field({}, std::string("beckhand pack"));
    canonical.field({}, pack.version);
    canonical.field({}, pack.issued);
    pack_shape::shape(canonical, pack);

    if (sodium_init() < 0) {
        std::abort(); // no randomness source on this machine: nothing of libsodium may be used
    }
    std::array<unsigned char, 32> digest{};
    const std::string& text = canonical.text();
    crypto_generichash(digest.data(), digest.size(), reinterpret_cast<const unsigned char*>(text.data()),
                       text.size(), nullptr, 0);
    std::array<char, 65> hex{};
    sodium_bin2hex(hex.data(), hex.size(), digest.data(), digest.size());
    return hex.data();
}

} // namespace beckhand

// What a bundle is made of, against the vectors that its standards publish.
#include <doctest/doctest.h>

#include "engine/bundle/cbor.h"
#include "engine/bundle/frames.h"
#include "engine/bundle/qr.h"
#include "engine/bundle/seal.h"

using namespace beckhand;
using namespace beckhand::bundle;

namespace {

Bytes from_hex(std::string_view text) {
    const auto digit = [](char c) { return static_cast<unsigned>(c <= '9' ? c - '0' : c - 'a' + 10); };
    Bytes bytes;
    for (std::size_t i = 0; i + 1 < text.size(); i += 2) {
        bytes.push_back(static_cast<std::uint8_t>(digit(text[i]) << 4 | digit(text[i + 1])));
    }
    return bytes;
}

} // namespace

TEST_CASE("signatures are Ed25519 as in RFC 8032, section 7.1, tests 1 to 3") {
    struct Vector { const char *secret, *open, *message, *signature; };
    const std::array<Vector, 3> vectors{
        Vector{"9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
               "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "",
               "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46b"
               "d25bf5f0595bbe24655141438e7a100b"},
        Vector{"4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
               "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
               "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c"
               "387b2eaeb4302aeeb00d291612bb0c00"},
        Vector{"c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
               "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025", "af82",
               "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc659"
               "4a7c15e9716ed28dc027beceea1ec40a"}};
    for (const Vector& vector : vectors) {
        std::array<std::uint8_t, 32> seed{};
        const Bytes secret = from_hex(vector.secret);
        std::copy(secret.begin(), secret.end(), seed.begin());
        const DeviceKey key = device_key(seed);
        CHECK(hex(key.open) == vector.open);
        const Signature signature = sign(from_hex(vector.message), key);
        CHECK(hex(signature) == vector.signature);
        CHECK(signed_by(key.open, signature, from_hex(vector.message)));
        Signature other = signature;
        other[0] ^= 1;
        CHECK(!signed_by(key.open, other, from_hex(vector.message)));
    }
}

TEST_CASE("CBOR is written as in RFC 8949, appendix A, for the kinds that a bundle uses") {
    const std::vector<std::pair<Cbor, const char*>> values{
        {Cbor(0u), "00"}, {Cbor(1u), "01"}, {Cbor(10u), "0a"}, {Cbor(23u), "17"}, {Cbor(24u), "1818"},
        {Cbor(25u), "1819"}, {Cbor(100u), "1864"}, {Cbor(1000u), "1903e8"}, {Cbor(1000000u), "1a000f4240"},
        {Cbor(std::uint64_t{1000000000000}), "1b000000e8d4a51000"},
        {Cbor(std::uint64_t{18446744073709551615u}), "1bffffffffffffffff"},
        {Cbor(-1), "20"}, {Cbor(-10), "29"}, {Cbor(-100), "3863"}, {Cbor(-1000), "3903e7"},
        {cbor_bytes(Bytes{}), "40"}, {cbor_bytes(Bytes{1, 2, 3, 4}), "4401020304"},
        {Cbor(""), "60"}, {Cbor("a"), "6161"}, {Cbor("IETF"), "6449455446"}, {Cbor("\"\\"), "62225c"},
        {Cbor("\xc3\xbc"), "62c3bc"}, {Cbor("\xe6\xb0\xb4"), "63e6b0b4"}, {Cbor("\xf0\x90\x85\x91"), "64f0908591"},
        {Cbor::array(), "80"}, {Cbor::parse("[1,2,3]"), "83010203"}, {Cbor::parse("[1,[2,3],[4,5]]"), "8301820203820405"},
        {Cbor::parse("[1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17,18,19,20,21,22,23,24,25]"),
         "98190102030405060708090a0b0c0d0e0f101112131415161718181819"}};
    for (const auto& [value, bytes] : values) {
        CHECK(hex(to_cbor(value)) == bytes);
        const auto back = from_cbor(from_hex(bytes));
        REQUIRE_MESSAGE(back, bytes);
        CHECK(*back == value);
    }
    // The same appendix: kinds that have no place here, and indefinite lengths.
    for (const char* bytes : {"c249010000000000000000", "f90000", "fb3ff199999999999a", "f4", "f6", "f7", "a0",
                              "a201020304", "5f42010243030405ff", "7f657374726561646d696e67ff", "9fff",
                              "3bffffffffffffffff", "c11a514b67b0"}) {
        CHECK_MESSAGE(!from_cbor(from_hex(bytes)), bytes);
    }
}

TEST_CASE("products in GF(256) are those of FIPS 197, section 4.2") {
    CHECK(times(0x57, 0x83) == 0xc1);
    CHECK(times(0x57, 0x02) == 0xae);
    CHECK(times(0x57, 0x04) == 0x47);
    CHECK(times(0x57, 0x08) == 0x8e);
    CHECK(times(0x57, 0x10) == 0x07);
    CHECK(times(0x57, 0x13) == 0xfe);
    for (unsigned a = 0; a < 256; ++a) {
        CHECK(times(static_cast<std::uint8_t>(a), 1) == a);
        CHECK(times(static_cast<std::uint8_t>(a), 0) == 0);
    }
}

TEST_CASE("hashes are BLAKE2b: the 256-bit hash of 'abc' by an independent implementation") {
    // RFC 7693, appendix A gives BLAKE2b-512 only; this value is from Python's hashlib, blake2b(b"abc",
    // digest_size=32), which is the reference code of the BLAKE2 authors.
    CHECK(hex(digest_of(view("abc"))) == "bddd813c634239723171ef3fee98579b94964e3bb1cb3e427262c8c068d52319");
}

TEST_CASE("a code of version 10 has 57 squares a side and room for 271 bytes (ISO/IEC 18004, tables 1 and 7)") {
    const auto full = qr_squares(Bytes(shown_bytes, 0xa5));
    REQUIRE(full);
    CHECK(full->width == 57);
    CHECK(!qr_squares(Bytes(shown_bytes + 1, 0xa5)));
    CHECK(!qr_squares(Bytes{}));
}

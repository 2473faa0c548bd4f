// Offered, received, receipt back: a hand-over seen from both sides. Who gives signs a bundle; who takes it
// in signs a receipt for exactly that bundle, after it is saved; the receipt goes back as a file or as one
// code. No receipt is no error, it is only shown as missing. The giver never loses a copy.
#pragma once

#include <string>
#include <vector>

#include "engine/bundle/seal.h"
#include "engine/diagnosis/visit.h"
#include "engine/problem.h"

namespace beckhand::bundle {

struct Receipt {
    Digest bundle{};             // name of the bundle that was taken in
    Digest log{};                // digest of what it held, as the receiver has it now
    std::uint64_t entries = 0;   // how many entries of the bundle the receiver has now: all of them
    Instant at;
    std::string by;
};

[[nodiscard]] Bytes write_receipt(const Receipt& receipt);
[[nodiscard]] Result<Receipt> read_receipt(ByteView inside);

/// What one side knows of a hand-over; each side keeps its own.
enum class Stage { offered, received, receipt_back };
struct HandOver {
    std::string bundle;          // hex of the bundle's name
    std::string site_id;
    std::string site;            // name of the site, for people
    Stage stage = Stage::offered;
    Instant at;                  // of the stage
    std::string other;           // fingerprint of the other device; empty while nobody has answered
};

[[nodiscard]] std::string to_json(const HandOver& hand_over);
[[nodiscard]] Result<HandOver> hand_over_from_json(const std::string& text);
/// "Offered", "Received" or "Receipt back" with the site and the other device.
[[nodiscard]] std::string sentence(const HandOver& hand_over);

/// The receipt that answers this offer moves it to `receipt_back`; any other leaves it as it is. A receipt
/// signed by the device that made the offer proves nothing and is not taken.
[[nodiscard]] HandOver with_receipt(const HandOver& offer, const Receipt& receipt, const PublicKey& signer,
                                    const PublicKey& own);

} // namespace beckhand::bundle

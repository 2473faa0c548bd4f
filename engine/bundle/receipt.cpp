#include "engine/bundle/receipt.h"

#include <algorithm>

#include "engine/bundle/cbor.h"
#include "engine/bundle/entry.h"

namespace beckhand::bundle {
namespace {

constexpr const char* title = "beckhand receipt";
constexpr std::array<const char*, 3> stages{"offered", "received", "receipt_back"};

Problem not_one() {
    return {"receipt", "This receipt is not as it should be.", "Ask for another one."};
}

bool digest_from(const Cbor& value, Digest& digest) {
    if (!value.is_binary() || value.get_binary().size() != digest.size())
        return false;
    std::copy_n(value.get_binary().begin(), digest.size(), digest.begin());
    return true;
}

} // namespace

Bytes write_receipt(const Receipt& receipt) {
    Cbor all = Cbor::array();
    all.push_back(title);
    all.push_back(1);
    all.push_back(cbor_bytes(receipt.bundle));
    all.push_back(cbor_bytes(receipt.log));
    all.push_back(receipt.entries);
    all.push_back(receipt.at.ms);
    all.push_back(receipt.by);
    return to_cbor(all);
}

Result<Receipt> read_receipt(ByteView inside) {
    const Result<Cbor> all = from_cbor(inside, {1, 16});
    if (!all)
        return all.error();
    Receipt receipt;
    const bool sound = all->is_array() && all->size() == 7 && (*all)[0] == title && (*all)[1] == 1 &&
                       digest_from((*all)[2], receipt.bundle) && digest_from((*all)[3], receipt.log) &&
                       (*all)[4].is_number_unsigned() && (*all)[5].is_number_unsigned() &&
                       (*all)[5].get<std::uint64_t>() <= std::uint64_t{1} << 53 && (*all)[6].is_string() &&
                       (*all)[6].get_ref<const std::string&>().size() <= longest_line;
    if (!sound)
        return not_one();
    receipt.entries = (*all)[4].get<std::uint64_t>();
    receipt.at.ms = (*all)[5].get<std::int64_t>();
    receipt.by = (*all)[6].get<std::string>();
    return receipt;
}

std::string to_json(const HandOver& hand_over) {
    const nlohmann::json json{{"bundle", hand_over.bundle},
                              {"site_id", hand_over.site_id},
                              {"site", hand_over.site},
                              {"stage", stages[static_cast<std::size_t>(hand_over.stage)]},
                              {"at_ms", hand_over.at.ms},
                              {"other", hand_over.other}};
    return json.dump();
}

Result<HandOver> hand_over_from_json(const std::string& text) {
    const nlohmann::json json = nlohmann::json::parse(text, nullptr, false);
    const Problem wrong{"hand-over", "What was kept of a hand-over cannot be read.", "Hand it over again."};
    if (!json.is_object())
        return wrong;
    const auto held = [&](const char* key) {
        const auto found = json.find(key);
        return found != json.end() && found->is_string() ? found->get<std::string>() : std::string();
    };
    const auto stage = std::find(stages.begin(), stages.end(), held("stage"));
    const auto at = json.find("at_ms");
    if (stage == stages.end() || at == json.end() || !at->is_number_integer())
        return wrong;
    return HandOver{held("bundle"), held("site_id"), held("site"), static_cast<Stage>(stage - stages.begin()),
                    Instant{at->get<std::int64_t>()}, held("other")};
}

std::string sentence(const HandOver& hand_over) {
    switch (hand_over.stage) {
    case Stage::offered:
        return hand_over.site + ": offered, no receipt yet.";
    case Stage::received:
        return hand_over.site + ": received from " + hand_over.other + ".";
    case Stage::receipt_back:
        return hand_over.site + ": receipt back from " + hand_over.other + ".";
    }
    return {};
}

HandOver with_receipt(const HandOver& offer, const Receipt& receipt, const PublicKey& signer,
                      const PublicKey& own) {
    HandOver answered = offer;
    if (offer.stage != Stage::offered || hex(receipt.bundle) != offer.bundle || signer == own)
        return answered;
    answered.stage = Stage::receipt_back;
    answered.at = receipt.at;
    answered.other = fingerprint(signer);
    return answered;
}

} // namespace beckhand::bundle

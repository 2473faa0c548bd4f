// Case files and site files: whatever the text, there is a case or a Problem with a sentence.
#include "tests/fuzz/targets.h"

#include <cmath>
#include <cstdlib>

#include "app/terminal/case_file.h"
#include "engine/diagnosis/pack_file.h"
#include "engine/records/site_fields.h"

namespace beckhand::fuzz {
namespace {

const Pack& shipped() {
    static const Pack pack = [] {
        const Result<std::string> text = read_text_file(PACK_FILE);
        must(text.has_value(), "the pack is built before the readers are tried");
        Result<Pack> read = read_pack(std::as_bytes(std::span(text->data(), text->size())), "pack");
        must(read.has_value(), "the shipped pack can be read");
        return std::move(*read);
    }();
    return pack;
}

std::string text_of(Bytes bytes) { return {bytes.begin(), bytes.end()}; }

} // namespace

void case_file(Bytes bytes) {
    const Result<CaseFile> read = read_case(text_of(bytes), "fuzz", shipped());
    if (!read) {
        must(!read.error().what.empty(), "a refused case says why");
        return;
    }
    for (const auto& [id, figure] : read->measured) {
        must(std::isfinite(figure.value_si), "a figure of a case is a number");
    }
}

void site_file(Bytes bytes) {
    const Result<Site> read = read_site(text_of(bytes), "fuzz");
    if (read)
        must(check_plausible(*read).has_value(), "a site that was read is plausible");
    else
        must(!read.error().what.empty(), "a refused site says why");
}

} // namespace beckhand::fuzz

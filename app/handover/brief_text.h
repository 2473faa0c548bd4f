// The brief as plain text, for the terminal and for a message.
#pragma once

#include <string>

#include "app/handover/brief.h"

namespace beckhand {

/// Cautions first, then the next check, then the sections; "Known" and "Guess" stand before what is one.
[[nodiscard]] std::string brief_text(const Brief& brief);

/// "Quillabeck, 25 Nov 2026, keeper, pack 1.0.0".
[[nodiscard]] std::string brief_head(const Brief& brief);

/// "Known, measured 25 Nov 2026, keeper"; empty for a rule.
[[nodiscard]] std::string ground_words(const BriefLine& line);

/// "Take: bucket, watch."; empty for none.
[[nodiscard]] std::string tools_words(const NextCheck& next);

/// The titles of the cautions of the next check, to stand beside it: "Fingers and the waste valve; ..."; empty for none.
[[nodiscard]] std::string mind_words(const Brief& brief);

} // namespace beckhand

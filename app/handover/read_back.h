// The read-back: three questions made from the brief itself, so that what was read is also taken in. The wrong
// answers are plausible ones from the pack and the site. The same brief and turn give the same question.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "app/handover/brief.h"

namespace beckhand {

struct ReadBackQuestion {
    std::string topic;                  // one of say_back_topics
    std::string ask;
    std::vector<std::string> answers;   // three or four, no two alike
    std::size_t right = 0;              // index of the one that is right
    std::string line;                   // the line of the brief that says it
};

/// `topic` is one of say_back_topics; `turn` counts the answers given so far: asked again, the answers stand in
/// another order.
[[nodiscard]] ReadBackQuestion read_back_question(const Pack& pack, const Brief& brief, std::string_view topic,
                                                  std::size_t turn);

/// Offered, read back, received: each with who and when, and whether it has happened.
struct HandoverState {
    std::string words;
    bool done = false;
};
[[nodiscard]] std::vector<HandoverState> handover_states(const Handover& handover, const MinutesAhead& ahead);

} // namespace beckhand

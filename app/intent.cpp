#include "app/state.h"

namespace beckhand {

Intent::Intent() = default;
Intent::Intent(const Intent&) = default;
Intent::Intent(Intent&&) noexcept = default;
Intent& Intent::operator=(const Intent&) = default;
Intent& Intent::operator=(Intent&&) noexcept = default;
Intent::~Intent() = default;

} // namespace beckhand

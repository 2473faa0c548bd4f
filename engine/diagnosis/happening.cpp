#include "engine/diagnosis/visit.h"

namespace beckhand {

Happening::Happening() = default;
Happening::Happening(const Happening&) = default;
Happening::Happening(Happening&&) noexcept = default;
Happening& Happening::operator=(const Happening&) = default;
Happening& Happening::operator=(Happening&&) noexcept = default;
Happening::~Happening() = default;

} // namespace beckhand

#include "app/state.h"

namespace beckhand {

const SiteRow* find_site(const State& state, std::string_view id) {
    for (const SiteRow& row : state.sites) {
        if (row.id == id) return &row;
    }
    return nullptr;
}

} // namespace beckhand

#include "app/site/round.h"

#include <algorithm>

namespace beckhand {

std::vector<const Service*> services_by_due(const State& state, const Pack& pack) {
    std::vector<const Service*> services;
    for (const Service& service : pack.services) services.push_back(&service);
    const auto trend = state.trends.find(state.site_id);
    if (trend == state.trends.end()) return services;
    const auto place = [&](const Service* service) {
        const std::vector<Due>& due = trend->second.due;
        return std::find_if(due.begin(), due.end(), [&](const Due& d) { return d.id == service->id; }) - due.begin();
    };
    std::stable_sort(services.begin(), services.end(),
                     [&](const Service* a, const Service* b) { return place(a) < place(b); });
    return services;
}

} // namespace beckhand

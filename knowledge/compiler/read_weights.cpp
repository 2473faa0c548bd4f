#include "knowledge/compiler/read_weights.h"

#include "knowledge/compiler/toml_keys.h"

namespace beckhand {

using namespace toml_keys;

Context read_context(Keys& keys, const std::string& id) {
    Context context;
    context.id = id;
    keys.text("say", context.say, Need::must);
    keys.list("months", context.months);
    keys.text("after", context.after);
    keys.number("within_days", context.within_days);
    keys.text("site", context.site);
    keys.entries("causes", [&](const std::string& cause, const toml::node& node, const std::string& line) {
        const std::optional<double> times = node.value<double>();
        if (times) {
            context.causes.push_back({cause, *times});
        } else {
            keys.complain(line, "\"" + cause + "\" holds " + kind_of(node) + ".", "Write how many times likelier: 3.0.");
        }
    });
    keys.list("sources", context.sources);
    return context;
}

void read_scale(Keys& keys, Scale& scale) {
    keys.number("normal_base", scale.normal_base);
    keys.number("other_base", scale.other_base);
    keys.number("normal_if_other_typical", scale.normal_if_other_typical);
    keys.number("normal_if_other_likelier", scale.normal_if_other_likelier);
    keys.number("typical", scale.typical);
    keys.number("likelier", scale.likelier);
    keys.number("unlikelier", scale.unlikelier);
    keys.number("nearly_excluded", scale.nearly_excluded);
    keys.number("normal_typical", scale.normal_typical);
    keys.number("normal_likelier", scale.normal_likelier);
    keys.number("normal_nearly_excluded", scale.normal_nearly_excluded);
    keys.number("group_repeat", scale.group_repeat);
    keys.number("slip", scale.slip);
    keys.number("slip_helper", scale.slip_helper);
    keys.number("slip_newcomer", scale.slip_newcomer);
    keys.number("cannot", scale.cannot);
    keys.number("something_else", scale.something_else);
    keys.number("pairs", scale.pairs);
    keys.number("chain", scale.chain);
    keys.number("returns", scale.returns);
    keys.number("returns_days", scale.returns_days);
}

} // namespace beckhand

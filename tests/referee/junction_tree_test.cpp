// Belief after answers against the junction tree of dlib, a general library for networks of chances. A
// program of its own, for dlib's headers are heavy; built where dlib is installed (libdlib-dev).
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include <dlib/bayes_utils.h>
#include <dlib/directed_graph.h>
#include <dlib/graph.h>
#include <dlib/graph_utils.h>

#include <cmath>
#include <memory>
#include <random>
#include <set>

#include "engine/diagnosis/belief.h"
#include "engine/diagnosis/policy.h"
#include "tests/published/published_networks.h"
#include "tests/support/large_model.h"
#include "tests/support/random_pack.h"

using namespace beckhand;
using namespace beckhand::tests;
using namespace beckhand::published;

namespace {

namespace nodes = dlib::bayes_node_utils;
using Network = dlib::directed_graph<dlib::bayes_node>::kernel_1a_c;

/// Chances of every value of every node, by the junction tree.
std::vector<std::vector<double>> junction_tree(Network& network) {
    using Set = dlib::set<unsigned long>::compare_1b_c;
    dlib::graph<Set, Set>::kernel_1a_c tree;
    dlib::create_moral_graph(network, tree);
    dlib::create_join_tree(tree, tree);
    const dlib::bayesian_network_join_tree solved(network, tree);
    std::vector<std::vector<double>> chances;
    for (unsigned long node = 0; node < network.number_of_nodes(); ++node) {
        const auto row = solved.probability(node);
        chances.emplace_back();
        for (long i = 0; i < row.size(); ++i)
            chances.back().push_back(row(i));
    }
    return chances;
}

void seen(Network& network, unsigned long node, unsigned long value) {
    nodes::set_node_value(network, node, value);
    nodes::set_node_as_evidence(network, node);
}

/// A cause with its answers as children: `chance[q][answer * causes + cause]`. Answers below zero are not
/// known.
std::vector<double> by_junction_tree(const std::vector<double>& prior,
                                     const std::vector<std::vector<double>>& chance,
                                     const std::vector<int>& answers) {
    Network network;
    const auto causes = static_cast<unsigned long>(prior.size());
    network.set_number_of_nodes(1 + static_cast<unsigned long>(chance.size()));
    nodes::set_node_num_values(network, 0, causes);
    for (unsigned long q = 0; q < chance.size(); ++q) {
        network.add_edge(0, q + 1);
        nodes::set_node_num_values(network, q + 1, static_cast<unsigned long>(chance[q].size()) / causes);
    }
    dlib::assignment parents;
    for (unsigned long c = 0; c < causes; ++c)
        nodes::set_node_probability(network, 0, c, parents, prior[c]);
    parents.add(0, 0);
    for (unsigned long q = 0; q < chance.size(); ++q) {
        for (unsigned long c = 0; c < causes; ++c) {
            parents[0] = c;
            for (unsigned long a = 0; a < chance[q].size() / causes; ++a) {
                nodes::set_node_probability(network, q + 1, a, parents, chance[q][a * causes + c]);
            }
        }
        if (answers[q] >= 0)
            seen(network, q + 1, static_cast<unsigned long>(answers[q]));
    }
    return junction_tree(network).front();
}

void alike(const std::vector<double>& ours, const std::vector<double>& theirs, double tolerance) {
    REQUIRE(ours.size() == theirs.size());
    for (std::size_t i = 0; i < ours.size(); ++i)
        CHECK(std::fabs(ours[i] - theirs[i]) <= tolerance);
}

} // namespace

TEST_CASE("the referee itself reads the chest clinic as published") {
    enum Node : unsigned long { asia, smoke, tub, lung, bronc, either, xray, dysp, count };
    for (const ClinicRow& row : clinic_rows) {
        Network network;
        network.set_number_of_nodes(count);
        for (const auto& [from, to] : {std::pair{asia, tub},
                                       {smoke, lung},
                                       {smoke, bronc},
                                       {tub, either},
                                       {lung, either},
                                       {either, xray},
                                       {either, dysp},
                                       {bronc, dysp}}) {
            network.add_edge(from, to);
        }
        for (unsigned long node = 0; node < count; ++node)
            nodes::set_node_num_values(network, node, 2);
        const auto yes = [&](Node node, const dlib::assignment& parents, double chance) {
            nodes::set_node_probability(network, node, 1, parents, chance);
            nodes::set_node_probability(network, node, 0, parents, 1 - chance);
        };
        const auto with = [](Node a, unsigned long is) {
            dlib::assignment parents;
            parents.add(a, is);
            return parents;
        };
        const auto both = [](Node a, unsigned long is, Node b, unsigned long too) {
            dlib::assignment parents;
            parents.add(a, is);
            parents.add(b, too);
            return parents;
        };
        yes(asia, {}, .01);
        yes(smoke, {}, .5);
        for (const unsigned long is : {0UL, 1UL}) {
            yes(tub, with(asia, is), is != 0 ? .05 : .01);
            yes(lung, with(smoke, is), is != 0 ? .1 : .01);
            yes(bronc, with(smoke, is), is != 0 ? .6 : .3);
            yes(xray, with(either, is), is != 0 ? .98 : .05);
            for (const unsigned long too : {0UL, 1UL}) {
                yes(either, both(tub, is, lung, too), is + too > 0 ? 1 : 0);
                yes(dysp, both(either, is, bronc, too),
                    is != 0 ? (too != 0 ? .9 : .7) : (too != 0 ? .8 : .1));
            }
        }
        const std::pair<Node, int> known[] = {
            {asia, row.seen.asia}, {smoke, row.seen.smoke}, {xray, row.seen.xray}, {dysp, row.seen.dysp}};
        for (const auto& one : known) {
            if (one.second >= 0)
                seen(network, one.first, static_cast<unsigned long>(one.second));
        }
        const auto chances = junction_tree(network);
        const double printed[] = {row.asia,  row.smoke,  row.tub,  row.lung,
                                  row.bronc, row.either, row.xray, row.dysp};
        for (unsigned long node = 0; node < count; ++node)
            CHECK(std::fabs(chances[node][1] - printed[node]) <= 1e-6);
    }
}

TEST_CASE("belief after answers, one fault or two at once and cannot tell, is that of the junction tree") {
    std::mt19937_64 random(21);
    for (std::uint64_t seed = 0; seed < 30; ++seed) {
        LargeShape shape;
        shape.faults = 3 + seed % 4;
        shape.questions = 4 + seed % 3;
        shape.marked = 0.4;
        shape.pair_share = 0.3;
        const Large model = large_model(100 + seed, shape);
        std::vector<double> belief = model.prior;
        std::vector<int> answers(shape.questions, -1);
        for (std::size_t q = 0; q < shape.questions; ++q) {
            if (random() % 4 == 0)
                continue;
            answers[q] = static_cast<int>(random() % model.problem.questions[q].answers);
            belief = after_answer(model.problem, belief, q, static_cast<std::size_t>(answers[q]));
        }
        alike(belief, by_junction_tree(model.prior, model.tables, answers), 1e-9);
    }
}

TEST_CASE("belief of a pack is that of the junction tree") {
    std::mt19937_64 random(22);
    for (int i = 0; i < 24; ++i) {
        Pack pack = random_pack(random, 3 + i % 5, 5);
        for (Observation& observation : pack.observations)
            observation.group.clear(); // no powers in a plain network
        const Model model(pack);
        const Visit visit = random_visit(pack, random, 5);
        const std::size_t ways = model.hypotheses().size();
        std::vector<std::vector<double>> tables;
        std::vector<int> answers;
        for (std::size_t o = 0; o < model.observations(); ++o) {
            // "Cannot tell" comes as often under every cause.
            const auto by = visit.answered_by.find(pack.observations[o].id);
            const double slip = model.slip_of(o, by == visit.answered_by.end() ? Person::keeper : by->second);
            std::vector<double> table(model.answers(o) * ways);
            for (std::size_t a = 0; a < model.answers(o); ++a) {
                for (std::size_t h = 0; h < ways; ++h) {
                    const double told = (1 - slip) * model.shows(o, h, a) + slip * model.background(o, a);
                    table[a * ways + h] = model.is_cannot(o, a) ? 0.1 : 0.9 * told;
                }
            }
            tables.push_back(std::move(table));
            answers.push_back(-1);
            for (std::size_t a = 0; a < model.answers(o); ++a) {
                const Answered* const given = visit.answer_to(pack.observations[o].id);
                if (given != nullptr && given->answer == pack.observations[o].answers[a].id)
                    answers[o] = static_cast<int>(a);
            }
        }
        alike(belief_after(pack, model, visit).hypothesis, by_junction_tree(model.prior(), tables, answers), 1e-9);
    }
}

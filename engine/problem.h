// What a person can cause to go wrong, said so that they can put it right: where it happened, what is
// wrong, and what to do. Our own bugs abort instead; exceptions do not cross a room's border.
#pragma once

#include <string>
#include <utility>
#include <variant>

namespace beckhand {

/// A sentence for a person. `where` names the file and line, screen or measurement; `what` says what is
/// wrong; `todo` says what would be right. All three are plain words.
struct Problem {
    std::string where;
    std::string what;
    std::string todo;

    [[nodiscard]] std::string sentence() const {
        std::string text = where.empty() ? what : where + ": " + what;
        return todo.empty() ? text : text + " " + todo;
    }
};

/// A value or a Problem. The spelling follows std::expected, which C++20 does not have yet.
template <class T>
class [[nodiscard]] Result {
public:
    Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}
    Result(Problem problem) : state_(std::in_place_index<1>, std::move(problem)) {}

    [[nodiscard]] bool has_value() const { return state_.index() == 0; }
    explicit operator bool() const { return has_value(); }

    [[nodiscard]] const T& value() const& { return std::get<0>(state_); }
    [[nodiscard]] T& value() & { return std::get<0>(state_); }
    [[nodiscard]] T&& value() && { return std::get<0>(std::move(state_)); }
    [[nodiscard]] const T& operator*() const& { return value(); }
    [[nodiscard]] T& operator*() & { return value(); }
    [[nodiscard]] T operator*() && { return std::move(*this).value(); } // by value: `for (x : *f())` is safe
    [[nodiscard]] const T* operator->() const { return &value(); }
    [[nodiscard]] T* operator->() { return &value(); }

    [[nodiscard]] const Problem& error() const { return std::get<1>(state_); }

private:
    std::variant<T, Problem> state_;
};

/// The result of doing something that gives nothing back.
struct Done {};
using Outcome = Result<Done>;

} // namespace beckhand

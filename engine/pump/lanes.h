// Numbers of the time loop: one pump in double, or eight pumps side by side in float. The loop is written
// once, for either; a choice is a mask and a select, so that eight pumps may disagree. Rows of four nodes of
// one pipe use the same lanes, in double.
//
// Every header of the loop is in the inline namespace BECKHAND_LOOP: the loop is compiled twice, for the
// vectors of 16 bytes that every x86-64 and the browser have, and in wide.cpp for those of 32 bytes. Both do
// the same operations in the same order, without fused multiply-add: the same bits come out.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <type_traits>
#if defined(__SSE2__)
#include <immintrin.h>
#elif defined(__wasm_simd128__)
#include <wasm_simd128.h>
#endif

#if defined(BECKHAND_WIDE)
#define BECKHAND_LOOP wide_loop
#define BECKHAND_VECTOR_BYTES 32
#else
#define BECKHAND_LOOP plain_loop
#define BECKHAND_VECTOR_BYTES 16
#endif

namespace beckhand::inline BECKHAND_LOOP {

/// A vector register of numbers S, the mask a comparison gives, and all of a number but its sign as a mask.
template <class S>
struct Register;
template <>
struct Register<float> {
    using Pack = float __attribute__((vector_size(BECKHAND_VECTOR_BYTES)));
    using Loose = Pack __attribute__((aligned(alignof(float)), may_alias)); // in memory, not aligned
    using Mask = decltype(Pack{} < Pack{});
    static constexpr auto all_but_sign = std::numeric_limits<std::int32_t>::max();
};
template <>
struct Register<double> {
    using Pack = double __attribute__((vector_size(BECKHAND_VECTOR_BYTES)));
    using Loose = Pack __attribute__((aligned(alignof(double)), may_alias)); // in memory, not aligned
    using Mask = decltype(Pack{} < Pack{});
    static constexpr auto all_but_sign = std::numeric_limits<std::int64_t>::max();
};

/// 32 bytes of numbers, in one register or two.
inline constexpr std::size_t lane_bytes = 32, parts = lane_bytes / BECKHAND_VECTOR_BYTES;

// One register is a member of its own, no array of one: GCC 12 hands such an array back from a function with
// its upper half cleared.
template <class S>
struct LaneMask {
    typename Register<S>::Mask first;
#if BECKHAND_VECTOR_BYTES == 16
    typename Register<S>::Mask second;
#endif
};

template <class S>
struct Lanes {
    using Pack = typename Register<S>::Pack;
    using Loose = typename Register<S>::Loose;
    static constexpr std::size_t count = lane_bytes / sizeof(S), in_part = count / parts;
    Pack first;
#if BECKHAND_VECTOR_BYTES == 16
    Pack second;
    [[nodiscard]] S at(std::size_t i) const { return i < in_part ? first[i] : second[i - in_part]; }
    void put(std::size_t i, S v) {
        if (i < in_part)
            first[i] = v;
        else
            second[i - in_part] = v;
    }
#else
    [[nodiscard]] S at(std::size_t i) const { return first[i]; }
    void put(std::size_t i, S v) { first[i] = v; }
#endif

    Lanes() = default;
    explicit Lanes(double v) {
        first = static_cast<S>(v) - Pack{};
        if constexpr (parts == 2)
            this->second = first;
    }
    Lanes& operator+=(Lanes o) { return *this = *this + o; }
    Lanes& operator-=(Lanes o) { return *this = *this - o; }
};
using Lanes8 = Lanes<float>;
using NodeRow = Lanes<double>;

template <class S, class Do, class... In>
inline Lanes<S> each(Do part, const In&... in) {
    Lanes<S> r;
    r.first = part(in.first...);
    if constexpr (parts == 2)
        r.second = part(in.second...);
    return r;
}
template <class S, class Do, class... In>
inline LaneMask<S> each_mask(Do part, const In&... in) {
    LaneMask<S> r;
    r.first = part(in.first...);
    if constexpr (parts == 2)
        r.second = part(in.second...);
    return r;
}

template <class S>
inline Lanes<S> operator+(Lanes<S> a, Lanes<S> b) {
    return each<S>([](auto x, auto y) { return x + y; }, a, b);
}
template <class S>
inline Lanes<S> operator-(Lanes<S> a, Lanes<S> b) {
    return each<S>([](auto x, auto y) { return x - y; }, a, b);
}
template <class S>
inline Lanes<S> operator*(Lanes<S> a, Lanes<S> b) {
    return each<S>([](auto x, auto y) { return x * y; }, a, b);
}
template <class S>
inline Lanes<S> operator/(Lanes<S> a, Lanes<S> b) {
    return each<S>([](auto x, auto y) { return x / y; }, a, b);
}
template <class S>
inline Lanes<S> operator-(Lanes<S> a) {
    return each<S>([](auto x) { return -x; }, a);
}
template <class S>
inline LaneMask<S> operator<(Lanes<S> a, Lanes<S> b) {
    return each_mask<S>([](auto x, auto y) { return x < y; }, a, b);
}
template <class S>
inline LaneMask<S> operator>(Lanes<S> a, Lanes<S> b) {
    return each_mask<S>([](auto x, auto y) { return x > y; }, a, b);
}
template <class S>
inline LaneMask<S> operator<=(Lanes<S> a, Lanes<S> b) {
    return each_mask<S>([](auto x, auto y) { return x <= y; }, a, b);
}
template <class S>
inline LaneMask<S> operator>=(Lanes<S> a, Lanes<S> b) {
    return each_mask<S>([](auto x, auto y) { return x >= y; }, a, b);
}
template <class S>
inline LaneMask<S> both(LaneMask<S> a, LaneMask<S> b) {
    return each_mask<S>([](auto x, auto y) { return x & y; }, a, b);
}
template <class S>
inline LaneMask<S> either(LaneMask<S> a, LaneMask<S> b) {
    return each_mask<S>([](auto x, auto y) { return x | y; }, a, b);
}
template <class S>
inline LaneMask<S> negate(LaneMask<S> a) {
    return each_mask<S>([](auto x) { return ~x; }, a);
}
template <class S>
inline Lanes<S> select(LaneMask<S> m, Lanes<S> a, Lanes<S> b) {
    return each<S>([](auto c, auto x, auto y) { return c ? x : y; }, m, a, b);
}
template <class S>
inline Lanes<S> lesser(Lanes<S> a, Lanes<S> b) {
    return each<S>([](auto x, auto y) { return x < y ? x : y; }, a, b);
}
template <class S>
inline Lanes<S> greater(Lanes<S> a, Lanes<S> b) {
    return each<S>([](auto x, auto y) { return x > y ? x : y; }, a, b);
}

template <class S>
inline bool any(LaneMask<S> m) {
    auto x = m.first;
    if constexpr (parts == 2)
        x |= m.second;
#if defined(BECKHAND_WIDE)
    if constexpr (sizeof(S) == sizeof(double))
        return _mm256_movemask_pd(reinterpret_cast<__m256d>(x)) != 0;
    else
        return _mm256_movemask_ps(reinterpret_cast<__m256>(x)) != 0;
#elif defined(__SSE2__)
    if constexpr (sizeof(S) == sizeof(double))
        return _mm_movemask_pd(reinterpret_cast<__m128d>(x)) != 0;
    else
        return _mm_movemask_ps(reinterpret_cast<__m128>(x)) != 0;
#elif defined(__wasm_simd128__)
    return wasm_v128_any_true(reinterpret_cast<v128_t>(x));
#else
    auto all = x[0];
    for (std::size_t i = 1; i < Lanes<S>::in_part; ++i)
        all |= x[i];
    return all != 0;
#endif
}
inline Lanes8 root(Lanes8 a) {
    return each<float>(
        [](auto x) {
#if defined(BECKHAND_WIDE)
            return _mm256_sqrt_ps(x);
#elif defined(__SSE2__)
            return _mm_sqrt_ps(x);
#elif defined(__wasm_simd128__)
            return reinterpret_cast<Lanes8::Pack>(wasm_f32x4_sqrt(reinterpret_cast<v128_t>(x)));
#else
            for (std::size_t i = 0; i < Lanes8::in_part; ++i)
                x[i] = std::sqrt(x[i]);
            return x;
#endif
        },
        a);
}

template <class S>
inline Lanes<S> size_of(Lanes<S> a) {
    using Pack = typename Register<S>::Pack;
    using Mask = typename Register<S>::Mask;
    return each<S>(
        [](auto x) {
            return reinterpret_cast<Pack>(reinterpret_cast<Mask>(x) & Register<S>::all_but_sign);
        },
        a);
}
/// `size`, which is not below zero, with the sign of `s`.
template <class S>
inline Lanes<S> signed_as(Lanes<S> size, Lanes<S> s) {
    using Pack = typename Register<S>::Pack;
    using Mask = typename Register<S>::Mask;
    return each<S>(
        [](auto x, auto y) {
            return reinterpret_cast<Pack>(reinterpret_cast<Mask>(x) |
                                          (reinterpret_cast<Mask>(y) & ~Register<S>::all_but_sign));
        },
        size, s);
}
/// a^b in the lanes of `m`, `otherwise` in the others: what a lane gets does not hang on its neighbours.
inline Lanes8 power_where(LaneMask<float> m, Lanes8 a, Lanes8 b, Lanes8 otherwise) {
    const Lanes8 chosen = select(m, Lanes8(1.0), Lanes8(0.0));
    for (std::size_t i = 0; i < Lanes8::count; ++i) {
        if (chosen.at(i) > 0)
            otherwise.put(i, std::pow(a.at(i), b.at(i)));
    }
    return otherwise;
}

inline double select(bool m, double a, double b) {
    return m ? a : b;
}
inline bool both(bool a, bool b) {
    return static_cast<bool>(a & b);
} // no jump
inline bool either(bool a, bool b) {
    return static_cast<bool>(a | b);
}
inline bool negate(bool a) {
    return !a;
}
inline bool any(bool m) {
    return m;
}
inline double root(double a) {
    return std::sqrt(a);
}
inline double lesser(double a, double b) {
    return a < b ? a : b;
}
inline double greater(double a, double b) {
    return a > b ? a : b;
}
inline double signed_as(double size, double s) {
    return std::copysign(size, s);
}
inline double size_of(double a) {
    return std::fabs(a);
}
inline double power_where(bool m, double a, double b, double otherwise) {
    return m ? std::pow(a, b) : otherwise;
}

/// How many pumps a number of type T carries, and how to reach one of them.
template <class T>
inline constexpr std::size_t lanes_in = 1;
template <>
inline constexpr std::size_t lanes_in<Lanes8> = 8;
inline void put_lane(double& t, std::size_t, double v) {
    t = v;
}
inline void put_lane(Lanes8& t, std::size_t i, double v) {
    t.put(i, static_cast<float>(v));
}
inline double lane(double t, std::size_t) {
    return t;
}
inline double lane(const Lanes8& t, std::size_t i) {
    return static_cast<double>(t.at(i));
}

/// V from where T are kept in order: a T itself, or a row of neighbouring nodes, wherever it begins.
template <class V, class T>
inline V load(const T* from) {
    if constexpr (std::is_same_v<V, T>) {
        return *from;
    } else {
        V v;
        v.first = *reinterpret_cast<const typename V::Loose*>(from);
        if constexpr (parts == 2)
            v.second = *reinterpret_cast<const typename V::Loose*>(from + V::in_part);
        return v;
    }
}
template <class V, class T>
inline void store(T* to, V v) {
    if constexpr (std::is_same_v<V, T>) {
        *to = v;
    } else {
        *reinterpret_cast<typename V::Loose*>(to) = v.first;
        if constexpr (parts == 2)
            *reinterpret_cast<typename V::Loose*>(to + V::in_part) = v.second;
    }
}
template <class V, class T>
inline V spread(T v) {
    return V(v);
}

} // namespace beckhand::inline BECKHAND_LOOP

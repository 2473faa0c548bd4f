// Numbers of the time loop: one pump in double, or eight pumps side by side in float. The loop is written
// once, for either; a choice is a mask and a select, so that eight pumps may disagree. Two vectors of four
// are what every x86-64 and the browser's 128-bit unit have; elsewhere the compiler writes it out.
#pragma once

#include <cmath>
#include <cstddef>
#if defined(__SSE__)
#include <xmmintrin.h>
#endif

namespace beckhand {

using Four = float __attribute__((vector_size(16)));
using FourMask = int __attribute__((vector_size(16)));

struct Mask8 {
    FourMask lo, hi;
};

struct Lanes8 {
    Four lo, hi;

    Lanes8() = default;
    Lanes8(Four l, Four h) : lo(l), hi(h) {}
    explicit Lanes8(double v) {
        const auto f = static_cast<float>(v);
        lo = Four{f, f, f, f};
        hi = lo;
    }
    [[nodiscard]] float at(std::size_t i) const { return i < 4 ? lo[i] : hi[i - 4]; }
    void put(std::size_t i, float v) {
        if (i < 4)
            lo[i] = v;
        else
            hi[i - 4] = v;
    }
    Lanes8& operator+=(Lanes8 o) {
        lo += o.lo;
        hi += o.hi;
        return *this;
    }
    Lanes8& operator-=(Lanes8 o) {
        lo -= o.lo;
        hi -= o.hi;
        return *this;
    }
};

inline Lanes8 operator+(Lanes8 a, Lanes8 b) {
    return {a.lo + b.lo, a.hi + b.hi};
}
inline Lanes8 operator-(Lanes8 a, Lanes8 b) {
    return {a.lo - b.lo, a.hi - b.hi};
}
inline Lanes8 operator*(Lanes8 a, Lanes8 b) {
    return {a.lo * b.lo, a.hi * b.hi};
}
inline Lanes8 operator/(Lanes8 a, Lanes8 b) {
    return {a.lo / b.lo, a.hi / b.hi};
}
inline Lanes8 operator-(Lanes8 a) {
    return {-a.lo, -a.hi};
}
inline Mask8 operator<(Lanes8 a, Lanes8 b) {
    return {a.lo < b.lo, a.hi < b.hi};
}
inline Mask8 operator>(Lanes8 a, Lanes8 b) {
    return {a.lo > b.lo, a.hi > b.hi};
}
inline Mask8 operator<=(Lanes8 a, Lanes8 b) {
    return {a.lo <= b.lo, a.hi <= b.hi};
}
inline Mask8 operator>=(Lanes8 a, Lanes8 b) {
    return {a.lo >= b.lo, a.hi >= b.hi};
}

inline Lanes8 select(Mask8 m, Lanes8 a, Lanes8 b) {
    return {m.lo ? a.lo : b.lo, m.hi ? a.hi : b.hi};
}
inline Mask8 both(Mask8 a, Mask8 b) {
    return {a.lo & b.lo, a.hi & b.hi};
}
inline Mask8 either(Mask8 a, Mask8 b) {
    return {a.lo | b.lo, a.hi | b.hi};
}
inline Mask8 negate(Mask8 a) {
    return {~a.lo, ~a.hi};
}
inline bool any(Mask8 m) {
    const FourMask x = m.lo | m.hi;
#if defined(__SSE__)
    return _mm_movemask_ps(reinterpret_cast<__m128>(x)) != 0;
#else
    return (x[0] | x[1] | x[2] | x[3]) != 0;
#endif
}
inline Four sqrt4(Four a) {
#if defined(__SSE__)
    return _mm_sqrt_ps(a);
#else
    for (std::size_t i = 0; i < 4; ++i)
        a[i] = std::sqrt(a[i]);
    return a;
#endif
}
inline Lanes8 root(Lanes8 a) {
    return {sqrt4(a.lo), sqrt4(a.hi)};
}
#if defined(__SSE__)
inline Lanes8 lesser(Lanes8 a, Lanes8 b) {
    return {_mm_min_ps(a.lo, b.lo), _mm_min_ps(a.hi, b.hi)};
}
inline Lanes8 greater(Lanes8 a, Lanes8 b) {
    return {_mm_max_ps(a.lo, b.lo), _mm_max_ps(a.hi, b.hi)};
}
#else
inline Lanes8 lesser(Lanes8 a, Lanes8 b) {
    return select(a < b, a, b);
}
inline Lanes8 greater(Lanes8 a, Lanes8 b) {
    return select(a > b, a, b);
}
#endif
inline FourMask bits(Four a) {
    return reinterpret_cast<FourMask>(a);
}
inline Four from_bits(FourMask a) {
    return reinterpret_cast<Four>(a);
}
inline constexpr int all_but_sign = 0x7fffffff;
inline Lanes8 size_of(Lanes8 a) {
    const FourMask keep{all_but_sign, all_but_sign, all_but_sign, all_but_sign};
    return {from_bits(bits(a.lo) & keep), from_bits(bits(a.hi) & keep)};
}
/// `size`, which is not below zero, with the sign of `s`.
inline Lanes8 signed_as(Lanes8 size, Lanes8 s) {
    const FourMask sign{~all_but_sign, ~all_but_sign, ~all_but_sign, ~all_but_sign};
    return {from_bits(bits(size.lo) | (bits(s.lo) & sign)), from_bits(bits(size.hi) | (bits(s.hi) & sign))};
}
inline Lanes8 power(Lanes8 a, Lanes8 b) {
    for (std::size_t i = 0; i < 8; ++i)
        a.put(i, std::pow(a.at(i), b.at(i)));
    return a;
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
inline double power(double a, double b) {
    return std::pow(a, b);
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

} // namespace beckhand

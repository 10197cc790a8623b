#pragma once

#include <bit>
#include <cstdint>

/// Margins as order-preserving integers. Private to this library.
///
/// A key carries the verdict beside the distance: non-negative keys are true, negative keys are
/// false, and at a distance of nought both exist (0 true, -1 false), so strict and non-strict
/// comparisons stay apart. Larger is better; ~key is the key of the negation; minimum and maximum
/// are those of integers, with no case for NaN.
namespace ovenproof::properties {

using Key = std::int64_t;

inline constexpr Key certain = 0x7FF0'0000'0000'0000;  ///< +infinity; ~certain is -infinity

/// The key of a distance that is not NaN, true if `truth`.
constexpr Key make_key(double distance, bool truth) {
  const auto bits = std::bit_cast<std::int64_t>(distance);
  const Key key = bits ^ ((bits >> 63) & INT64_MAX);
  return (key >= 0) == truth ? key : truth ? 0 : -1;
}

constexpr double distance_of(Key key) {
  return std::bit_cast<double>(key ^ ((key >> 63) & INT64_MAX));
}

}  // namespace ovenproof::properties

#include "firmware/math/saturate.hpp"

#include <limits>

#include <doctest/doctest.h>

using ovenproof::Milliseconds;
namespace math = ovenproof::math;

TEST_CASE("clamp limits to its bounds, which belong to the range") {
  CHECK(math::clamp(0.5F, 0.0F, 1.0F) == 0.5F);
  CHECK(math::clamp(-2.0F, 0.0F, 1.0F) == 0.0F);
  CHECK(math::clamp(2.0F, 0.0F, 1.0F) == 1.0F);
  CHECK(math::clamp(std::numeric_limits<float>::infinity(), 0.0F, 1.0F) == 1.0F);
}

TEST_CASE("clamp turns a NaN into the low bound") {
  CHECK(math::clamp(std::numeric_limits<float>::quiet_NaN(), -3.0F, 1.0F) == -3.0F);
}

TEST_CASE("adding times stops at the largest instead of wrapping to a fresh timer") {
  const Milliseconds most(std::numeric_limits<std::uint32_t>::max());
  CHECK(math::saturating_add(Milliseconds(2), Milliseconds(3)) == Milliseconds(5));
  CHECK(math::saturating_add(most, Milliseconds(1)) == most);
  CHECK(math::saturating_add(Milliseconds(1), most) == most);
  CHECK(math::saturating_add(most, most) == most);
  CHECK(math::saturating_add(most, Milliseconds(0)) == most);
}

TEST_CASE("the magnitude of a number has no sign") {
  CHECK(math::absolute(-2.5F) == 2.5F);
  CHECK(math::absolute(2.5F) == 2.5F);
}

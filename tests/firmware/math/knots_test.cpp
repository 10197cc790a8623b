#include "firmware/math/knots.hpp"

#include <limits>

#include <doctest/doctest.h>

using ovenproof::math::Knots;

namespace {
constexpr Knots<4> squares{1.0F, 1.0F, {1.0F, 4.0F, 9.0F, 16.0F}};
}

TEST_CASE("a table gives its knots exactly and the chord between them") {
  static_assert(squares.value_at(2.0F) == 4.0F);
  static_assert(squares.value_at(2.5F) == 6.5F);
  static_assert(squares.argument_of(9.0F) == 3.0F);
  static_assert(squares.argument_of(6.5F) == 2.5F);
  CHECK(squares.last() == 4.0F);
}

TEST_CASE("a table holds its ends beyond them") {
  CHECK(squares.value_at(-100.0F) == 1.0F);
  CHECK(squares.value_at(100.0F) == 16.0F);
  CHECK(squares.argument_of(-100.0F) == 1.0F);
  CHECK(squares.argument_of(100.0F) == 4.0F);
}

TEST_CASE("a NaN reads as the low end of a table, not beyond it") {
  const float nan = std::numeric_limits<float>::quiet_NaN();
  CHECK(squares.value_at(nan) == 1.0F);
  CHECK(squares.argument_of(nan) == 1.0F);
}

TEST_CASE("the two directions of a table undo each other and rise everywhere") {
  float before = 0.0F;
  for (int i = 0; i <= 3000; ++i) {
    const float x = 1.0F + static_cast<float>(i) / 1000.0F;
    const float y = squares.value_at(x);
    CHECK(y > before);
    CHECK(squares.argument_of(y) == doctest::Approx(x).epsilon(1e-6));
    before = y;
  }
}

#include "firmware/conditioning/median_of_three.hpp"

#include <algorithm>
#include <array>
#include <cstdint>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;

TEST_CASE("one bad conversion alone never shows") {
  for (const std::uint16_t bad : {std::uint16_t{0}, std::uint16_t{65'535}}) {
    MedianOfThree median;
    for (int i = 0; i < 5; ++i) CHECK(median.update(30'000) == 30'000);
    CHECK(median.update(bad) == 30'000);
    CHECK(median.update(30'000) == 30'000);
    CHECK(median.update(30'000) == 30'000);
  }
}

TEST_CASE("what lasts for two conversions shows with the second") {
  MedianOfThree median;
  for (int i = 0; i < 5; ++i) median.update(30'000);
  CHECK(median.update(65'535) == 30'000);
  CHECK(median.update(65'535) == 65'535);
}

TEST_CASE("the first conversions show at once") {
  MedianOfThree median;
  CHECK(median.update(7) == 7);
  CHECK(median.update(9) == 9);
  CHECK(median.update(8) == 8);
}

TEST_CASE("from the third conversion on it is the middle one of the sorted last three") {
  test::check_property(
      0x5eed31,
      [] {
        MedianOfThree median;
        std::array<std::uint16_t, 3> last{};
        for (int i = 0; i < 50; ++i) {
          const auto count = *rc::gen::arbitrary<std::uint16_t>();
          std::rotate(last.begin(), last.begin() + 1, last.end());
          last.back() = count;
          const std::uint16_t shown = median.update(count);
          std::array<std::uint16_t, 3> sorted = last;
          std::sort(sorted.begin(), sorted.end());
          RC_ASSERT(shown == (i < 2 ? count : sorted[1]));
        }
      },
      200);
}

#include "hal-mock/input_filter.hpp"

#include <array>
#include <vector>

#include <doctest/doctest.h>

#include "property.hpp"

using ovenproof::mock::InputFilter;
namespace test = ovenproof::test;

namespace {
constexpr std::uint32_t all = 0xFFFF;

/// The rule, one ms and one input at a time.
struct PlainFilter {
  std::uint32_t filter_ms;
  std::array<bool, 16> image{};
  std::array<std::uint32_t, 16> differing{};

  void one_ms(std::uint32_t levels) {
    for (std::size_t i = 0; i < 16; ++i) {
      const bool level = (levels >> i & 1U) != 0;
      differing[i] = level == image[i] ? 0 : differing[i] + 1;
      if (level != image[i] && differing[i] >= filter_ms) {
        image[i] = level;
        differing[i] = 0;
      }
    }
  }
  [[nodiscard]] std::uint32_t bits() const {
    std::uint32_t bits = 0;
    for (std::size_t i = 0; i < 16; ++i) bits |= std::uint32_t{image[i]} << i;
    return bits;
  }
};
}  // namespace

TEST_CASE("the image follows a contact once it has been stable for the filter time, not before") {
  InputFilter filter(3);
  filter.advance(1, all, 2);
  CHECK(filter.image() == 0);
  filter.advance(1, all, 1);
  CHECK(filter.image() == 1);
  filter.advance(0, all, 2);
  CHECK(filter.image() == 1);
  filter.advance(0, all, 1);
  CHECK(filter.image() == 0);
}

TEST_CASE("a pulse shorter than the filter time vanishes, and the wait starts over") {
  InputFilter filter(3);
  filter.advance(1, all, 2);
  filter.advance(0, all, 1);
  filter.advance(1, all, 2);
  CHECK(filter.image() == 0);
  filter.advance(1, all, 1);
  CHECK(filter.image() == 1);
}

TEST_CASE("without filter time the image follows within the ms") {
  InputFilter filter(0);
  filter.advance(0xA5A5, all, 1);
  CHECK(filter.image() == 0xA5A5);
}

TEST_CASE("inputs outside the mask keep image and wait") {
  InputFilter filter(3);
  filter.advance(3, all, 2);
  filter.advance(2, 1, 10);  // only input 0 is looked at, and falls back
  CHECK(filter.image() == 0);
  filter.advance(3, all, 1);
  CHECK(filter.image() == 2);
}

TEST_CASE("settling takes on the levels and forgets every wait") {
  InputFilter filter(3);
  filter.advance(1, all, 2);
  filter.settle(2);
  CHECK(filter.image() == 2);
  filter.advance(3, all, 1);
  CHECK(filter.image() == 2);
}

TEST_CASE("long steps filter as a millisecond at a time does") {
  CHECK(test::holds("filter equals the plain rule", 0xF117E4, 500, [] {
    const auto filter_ms = *rc::gen::inRange<std::uint32_t>(0, 8);
    const auto steps =
        *rc::gen::container<std::vector<std::pair<std::uint32_t, std::uint32_t>>>(rc::gen::pair(
            rc::gen::inRange<std::uint32_t>(0, 0x10000), rc::gen::inRange<std::uint32_t>(1, 12)));
    InputFilter filter(filter_ms);
    PlainFilter plain{.filter_ms = filter_ms};
    for (const auto& [levels, ms] : steps) {
      filter.advance(levels, all, ms);
      for (std::uint32_t i = 0; i < ms; ++i) plain.one_ms(levels);
      RC_ASSERT(filter.image() == plain.bits());
    }
  }));
}

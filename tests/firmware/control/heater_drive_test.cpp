#include "firmware/control/heater_drive.hpp"

#include <cstdint>
#include <cstring>
#include <limits>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

constexpr Milliseconds scan{10};

settings::Control limits(std::uint32_t most, std::uint32_t rate) {
  settings::Control control;
  control.max_drive_permille = most;
  control.drive_rate_permille_per_s = rate;
  return control;
}

}  // namespace

TEST_CASE("the drive rises at its rate and reaches the demand exactly") {
  HeaterDrive drive;
  const auto control = limits(1000, 200);
  for (int i = 0; i < 100; ++i) drive.update(Fraction{0.5F}, true, control, scan);
  CHECK(drive.permille() == 200);
  for (int i = 0; i < 200; ++i) drive.update(Fraction{0.5F}, true, control, scan);
  CHECK(drive.permille() == 500);
  CHECK(drive.applied() == Fraction{0.5F});
}

TEST_CASE("the slowest rate still moves the drive at every scan") {
  HeaterDrive drive;
  const auto control = limits(1000, 1);
  for (int i = 0; i < 50'000; ++i) drive.update(Fraction{1.0F}, true, control, scan);
  CHECK(drive.permille() == doctest::Approx(500).epsilon(0.01));
}

TEST_CASE("the drive falls at once, and to zero at once when not permitted") {
  HeaterDrive drive;
  const auto control = limits(1000, 100'000);
  drive.update(Fraction{1.0F}, true, control, scan);
  CHECK(drive.permille() == 1000);
  drive.update(Fraction{0.25F}, true, control, scan);
  CHECK(drive.permille() == 250);
  drive.update(Fraction{1.0F}, false, control, scan);
  CHECK(drive.permille() == 0);
  CHECK(drive.applied() == Fraction{0.0F});
}

TEST_CASE("the drive never exceeds its maximum, nor 1000 permille") {
  HeaterDrive drive;
  drive.update(Fraction{1.0F}, true, limits(730, 100'000), scan);
  CHECK(drive.permille() == 730);
  drive.update(Fraction{2.0F}, true, limits(5'000'000, 1'000'000), scan);
  CHECK(drive.permille() == 1000);
}

TEST_CASE("the drive is rounded to the nearest permille") {
  HeaterDrive drive;
  drive.update(Fraction{0.4996F}, true, limits(1000, 100'000), scan);
  CHECK(drive.permille() == 500);
  drive.update(Fraction{0.4994F}, true, limits(1000, 100'000), scan);
  CHECK(drive.permille() == 499);
}

TEST_CASE("a demand that is no number is no demand") {
  HeaterDrive drive;
  drive.update(Fraction{std::numeric_limits<float>::quiet_NaN()}, true, limits(1000, 100'000),
               scan);
  CHECK(drive.permille() == 0);
}

TEST_CASE("whatever is demanded, the drive is bounded, rate-limited and off when not permitted") {
  test::check_property(
      0x4EA7,
      [] {
        HeaterDrive drive;
        std::uint16_t before = 0;
        for (int i = 0; i < 50; ++i) {
          const auto bits = *rc::gen::arbitrary<std::uint32_t>();
          float demand = 0.0F;
          std::memcpy(&demand, &bits, sizeof demand);
          if (*rc::gen::inRange(0, 2) != 0)
            demand = static_cast<float>(*rc::gen::inRange(-100, 1'100)) / 1'000.0F;
          const bool permitted = *rc::gen::inRange(0, 8) != 0;
          const Milliseconds dt{*rc::gen::inRange<std::uint32_t>(0, 200)};
          drive.update(Fraction{demand}, permitted, limits(800, 500), dt);
          RC_ASSERT(drive.permille() <= 800);
          RC_ASSERT(drive.permille() <= before + 0.5F * static_cast<float>(dt.value) + 1.0F);
          if (!permitted) RC_ASSERT(drive.permille() == 0);
          before = drive.permille();
        }
      },
      200);
}

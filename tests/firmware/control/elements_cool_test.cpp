#include "firmware/control/elements_cool.hpp"

#include <limits>

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

settings::Cooling cooling() {
  settings::Cooling c;
  c.fan_run_on = Milliseconds{300'000};
  c.elements_cool_temperature = Celsius{150.0F};
  return c;
}

constexpr Milliseconds scan{10};

void run(ElementsCool& elements, int scans, bool heating, float temperature) {
  for (int i = 0; i < scans; ++i)
    elements.update(heating, Celsius{temperature}, true, cooling(), scan);
}

}  // namespace

TEST_CASE("elements are cool after the run-on time, not a scan sooner") {
  ElementsCool elements;
  run(elements, 1, true, 100.0F);
  run(elements, 30'000, false, 100.0F);  // the first of them only saw the heat go off
  CHECK_FALSE(elements.cool());
  run(elements, 1, false, 100.0F);
  CHECK(elements.cool());
}

TEST_CASE("elements are not cool while the chamber is hot, however long heat is off") {
  ElementsCool elements;
  run(elements, 1'000'000, false, 150.1F);
  CHECK_FALSE(elements.cool());
  run(elements, 1, false, 150.0F);
  CHECK(elements.cool());
}

TEST_CASE("any heat starts the run-on time again") {
  ElementsCool elements;
  run(elements, 30'001, false, 100.0F);
  CHECK(elements.cool());
  run(elements, 1, true, 100.0F);
  CHECK_FALSE(elements.cool());
  CHECK(elements.off_time() == Milliseconds{0});
  run(elements, 30'000, false, 100.0F);
  CHECK_FALSE(elements.cool());
}

TEST_CASE("elements are not cool without a temperature to say so") {
  ElementsCool elements;
  run(elements, 40'000, false, 100.0F);
  elements.update(false, Celsius{100.0F}, false, cooling(), scan);
  CHECK_FALSE(elements.cool());
  elements.update(false, Celsius{100.0F}, true, cooling(), scan);
  CHECK(elements.cool());
  elements.update(false, Celsius{-std::numeric_limits<float>::infinity()}, true, cooling(), scan);
  CHECK_FALSE(elements.cool());
}

TEST_CASE("elements under heat are not cool, even without a run-on time") {
  settings::Cooling no_run_on = cooling();
  no_run_on.fan_run_on = Milliseconds{0};
  ElementsCool elements;
  elements.update(true, Celsius{100.0F}, true, no_run_on, scan);
  CHECK_FALSE(elements.cool());
  elements.update(false, Celsius{100.0F}, true, no_run_on, scan);
  CHECK(elements.cool());
}

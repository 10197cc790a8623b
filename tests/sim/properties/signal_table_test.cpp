#include "sim/properties/signal_table.hpp"

#include <stdexcept>

#include <doctest/doctest.h>

namespace ovenproof::properties {
namespace {

TEST_CASE("Signals are found by name, in the order of the row") {
  SignalTable table;
  CHECK(table.add_boolean("door.open", "truth of the door") == 0);
  CHECK(table.add_number("chamber.oxygen", "ppm") == 1);
  CHECK(table.add_state("phase", {"purging", "soak"}) == 2);
  table.add_constant("limit.gate", 50, "ppm");
  CHECK(table.find_signal("chamber.oxygen") == 1);
  CHECK_FALSE(table.find_signal("limit.gate").has_value());
  CHECK(table.find_constant("limit.gate") == 0);
  CHECK(table.signals()[0].description == "truth of the door");
  CHECK(table.signals()[1].unit.symbol == "ppm");
}

TEST_CASE("A table refuses names that a property could not speak of") {
  SignalTable table;
  table.add_boolean("taken");
  for (const char* name :
       {"", "1st", "a-b", "a b", "a.", ".a", "a..b", "always", "min", "taken", "a.1"}) {
    CAPTURE(name);
    CHECK_THROWS_AS(table.add_boolean(name), std::invalid_argument);
    CHECK_THROWS_AS(table.add_constant(name, 1.0, "K"), std::invalid_argument);
  }
  CHECK(table.signals().size() == 1);
  CHECK(table.constants().empty());
}

TEST_CASE("A table refuses unknown units and unusable labels") {
  SignalTable table;
  CHECK_THROWS_AS(table.add_number("x", "furlong"), std::invalid_argument);
  CHECK_THROWS_AS(table.add_state("s", {}), std::invalid_argument);
  CHECK_THROWS_AS(table.add_state("s", {"a", "a"}), std::invalid_argument);
  CHECK_THROWS_AS(table.add_state("s", {"not"}), std::invalid_argument);
  CHECK_THROWS_AS(table.add_state("s", {"two words"}), std::invalid_argument);
  CHECK_THROWS_AS(table.add_state("s", std::vector<std::string>(65, "a")), std::invalid_argument);
  CHECK_THROWS_AS(table.add_constant("c", 1.0 / 0.0, "K"), std::invalid_argument);
  CHECK(table.signals().empty());
}

}  // namespace
}  // namespace ovenproof::properties

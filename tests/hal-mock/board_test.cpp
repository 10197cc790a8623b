#include "hal-mock/board.hpp"

#include <limits>
#include <stdexcept>

#include <doctest/doctest.h>

#include "boards.hpp"
#include "hal-mock/converter.hpp"

using namespace ovenproof;
using namespace ovenproof::mock;
using namespace ovenproof::mock::test;

TEST_CASE("a board option out of range is refused by name") {
  const auto why = [](const BoardOptions& options) -> std::string {
    try {
      Board board(options);
    } catch (const std::invalid_argument& e) {
      return e.what();
    }
    return "";
  };
  CHECK(why({}) == "");
  CHECK(why({.conversion_period_ms = 1, .input_filter_ms = 0, .watchdog_timeout_ms = 1}) == "");
  CHECK(why({.conversion_period_ms = 0}) == "conversion_period_ms must be 1 to 60000");
  CHECK(why({.conversion_period_ms = 60'001}) == "conversion_period_ms must be 1 to 60000");
  CHECK(why({.input_filter_ms = 1001}) == "input_filter_ms must be 0 to 1000");
  CHECK(why({.watchdog_timeout_ms = 0}) == "watchdog_timeout_ms must be 1 to 60000");
  CHECK(why({.watchdog_timeout_ms = 60'001}) == "watchdog_timeout_ms must be 1 to 60000");
}

TEST_CASE("a closed contact is energised in the image after the filter time, not before") {
  for (std::size_t i = 0; i < hal::digital_in_count; ++i) {
    const auto input = static_cast<DigitalIn>(i);
    Board board = powered({.input_filter_ms = 3});
    board.present(plain_field({input}));
    board.advance(2);
    CHECK(board.read_inputs().contacts == 0);
    board.advance(1);
    CHECK(board.read_inputs().contacts == 1U << i);
    CHECK(board.read_inputs().energised(input));
    board.present(plain_field());
    board.advance(2);
    CHECK(board.read_inputs().contacts == 1U << i);
    board.advance(1);
    CHECK(board.read_inputs().contacts == 0);
  }
}

TEST_CASE("a field that changes does not reach the image until time passes") {
  Board board = powered(immediate);
  board.present(plain_field({DigitalIn::start_button}));
  CHECK(board.read_inputs().contacts == 0);
  board.advance(1);
  CHECK(board.read_inputs().energised(DigitalIn::start_button));
}

TEST_CASE("all channels are converted together each period, and the sequence number tells") {
  Board board = powered({.conversion_period_ms = 100, .watchdog_timeout_ms = 60'000});
  const hal::InputImage first = board.read_inputs();
  FieldInputs field = plain_field();
  for (double& value : field.analog) value += 1.0;
  board.present(field);
  board.advance(99);
  CHECK(board.read_inputs() == first);
  board.advance(1);
  const hal::InputImage second = board.read_inputs();
  CHECK(second.conversion == first.conversion + 1);
  for (std::size_t i = 0; i < hal::analog_in_count; ++i) {
    const auto input = static_cast<AnalogIn>(i);
    CHECK(first.count(input) == counts_of(input, field.value(input) - 1.0));
    CHECK(second.count(input) == counts_of(input, field.value(input)));
    CHECK(second.count(input) > first.count(input));
  }
  board.advance(1000);
  CHECK(board.read_inputs().conversion == first.conversion + 11);
}

TEST_CASE("the conversion number wraps") {
  Board board = powered({.conversion_period_ms = 1, .watchdog_timeout_ms = 60'000});
  for (int i = 0; i < 2; ++i) {
    board.advance(32'767);
    board.kick_watchdog();
  }
  CHECK(board.read_inputs().conversion == 65'535);
  board.advance(1);
  CHECK(board.read_inputs().conversion == 0);
}

TEST_CASE("an open circuit in the sensor itself reads full scale") {
  FieldInputs field = plain_field();
  field.set(AnalogIn::te_b, open_circuit);
  CHECK(powered({}, field).read_inputs().count(AnalogIn::te_b) == 65'535);
}

TEST_CASE("a field that presents NaN, or contacts that do not exist, is caught") {
  Board board = powered(immediate);
  FieldInputs field = plain_field();
  field.set(AnalogIn::te_a, std::numeric_limits<double>::quiet_NaN());
  CHECK_THROWS_WITH_AS(board.present(field), "the field presents a NaN", std::invalid_argument);
  field = plain_field();
  field.contacts = 0xFFFF'0000U;
  board.present(field);
  board.advance(10);
  CHECK(board.read_inputs().contacts == 0);
  CHECK(powered({}, field).read_inputs().contacts == 0);
}

TEST_CASE("every output reaches its own coil, at once and together with the heater drive") {
  for (std::size_t i = 0; i < hal::digital_out_count; ++i) {
    const auto output = static_cast<DigitalOut>(i);
    Board board = powered();
    board.write_outputs(energise({output}, 500));
    CHECK(board.field_outputs().coils == 1U << i);
    CHECK(board.field_outputs().energised(output));
    CHECK(board.field_outputs().heater_permille == 500.0);
    board.write_outputs({});
    CHECK(board.field_outputs() == FieldOutputs{});
  }
}

TEST_CASE("outputs hold while time passes") {
  Board board = powered();
  board.write_outputs(energise({DigitalOut::k1, DigitalOut::fan}, 1000));
  const FieldOutputs driven = board.field_outputs();
  board.advance(150);
  CHECK(board.field_outputs() == driven);
}

TEST_CASE("output bits that do not exist are ignored and counted") {
  Board board = powered();
  hal::OutputImage image = energise({DigitalOut::k1});
  board.write_outputs(image);
  CHECK(board.violations().total() == 0);
  image.coils |= 1U << hal::digital_out_count;
  board.write_outputs(image);
  CHECK(board.field_outputs().coils == 1U);
  CHECK(board.violations() == Violations{.unknown_coils = 1});
  CHECK(board.violations().total() == 1);
}

TEST_CASE("a heater drive above 1000 is taken as 0 and counted, 1000 is not") {
  Board board = powered();
  board.write_outputs(energise({DigitalOut::k1}, 1000));
  CHECK(board.field_outputs().heater_permille == 1000.0);
  CHECK(board.violations().total() == 0);
  board.write_outputs(energise({DigitalOut::k1}, 1001));
  CHECK(board.field_outputs().heater_permille == 0.0);
  CHECK(board.field_outputs().energised(DigitalOut::k1));
  CHECK(board.violations() == Violations{.heater_over_range = 1});
  CHECK(board.violations().total() == 1);
}

TEST_CASE("a store access outside the store is refused and counted") {
  Board board = powered();
  std::array<std::byte, 8> bytes{};
  CHECK(board.store_write(NonVolatileStore::size - 8, bytes));
  CHECK(board.store_read(NonVolatileStore::size - 8, bytes));
  CHECK(board.violations().total() == 0);
  CHECK_FALSE(board.store_write(NonVolatileStore::size - 7, bytes));
  CHECK_FALSE(board.store_read(NonVolatileStore::size - 7, bytes));
  CHECK(board.violations() == Violations{.store_range = 2});
  CHECK(board.violations().total() == 2);
}

TEST_CASE("a failing store is refused but is not the controller's violation") {
  Board board = powered();
  std::array<std::byte, 8> bytes{};
  board.store().set_failing(true);
  CHECK_FALSE(board.store_write(0, bytes));
  CHECK_FALSE(board.store_read(0, bytes));
  CHECK(board.violations().total() == 0);
}

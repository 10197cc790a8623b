#include <array>

#include <doctest/doctest.h>

#include "boards.hpp"

using namespace ovenproof;
using namespace ovenproof::mock;
using namespace ovenproof::mock::test;
using hal::ResetCause;

namespace {
const hal::OutputImage some_outputs = energise({DigitalOut::k1, DigitalOut::fan}, 700);
}

TEST_CASE("after power-on every output is de-energised until first written") {
  Board board = powered();
  CHECK(board.field_outputs() == FieldOutputs{});
  board.advance(100);
  CHECK(board.field_outputs() == FieldOutputs{});
  board.write_outputs(some_outputs);
  CHECK(board.field_outputs() != FieldOutputs{});

  board.power_off();
  board.advance(50);
  board.power_on();
  board.advance(50);
  CHECK(board.field_outputs() == FieldOutputs{});
}

TEST_CASE("without power outputs are de-energised and inputs are not read") {
  Board board = powered(immediate, plain_field({DigitalIn::start_button}));
  board.write_outputs(some_outputs);
  CHECK(board.read_inputs() != hal::InputImage{});
  CHECK(board.ignored_calls() == 0);
  board.power_off();
  CHECK_FALSE(board.powered());
  CHECK(board.field_outputs() == FieldOutputs{});
  board.advance(100);
  CHECK(board.virtual_ms() == 100);
  CHECK(board.read_inputs() == hal::InputImage{});
  board.write_outputs(some_outputs);
  CHECK(board.field_outputs() == FieldOutputs{});
  CHECK(board.now() == Milliseconds());
  CHECK(board.ignored_calls() == 3);
  CHECK(board.violations().total() == 0);
}

TEST_CASE("an output that is frozen loses with the power what it held, and stays off") {
  Board board = powered();
  board.write_outputs(some_outputs);
  for (const Point point : {Point(DigitalOut::k1), Point(DigitalOut::blower), Point::heater()}) {
    SignalFault fault{point, Frozen{}};
    fault.onset_ms = board.virtual_ms();
    board.inject(fault);
  }
  board.advance(10);
  board.write_outputs({});
  board.advance(10);
  CHECK(board.field_outputs().energised(DigitalOut::k1));
  CHECK(board.field_outputs().heater_permille == 700);
  CHECK_FALSE(board.field_outputs().energised(DigitalOut::fan));

  board.power_off();
  board.advance(10);
  board.power_on();
  board.write_outputs(some_outputs);
  board.advance(10);
  CHECK_FALSE(board.field_outputs().energised(DigitalOut::k1));
  CHECK(board.field_outputs().heater_permille == 0);
  CHECK(board.field_outputs().energised(DigitalOut::fan));
}

TEST_CASE("a new board has no power") {
  Board board;
  CHECK_FALSE(board.powered());
  CHECK(board.read_inputs() == hal::InputImage{});
  CHECK(board.ignored_calls() == 1);
}

TEST_CASE("when the processor starts the filters have settled and one conversion is done") {
  Board board = powered({.conversion_period_ms = 100, .input_filter_ms = 50},
                        plain_field({DigitalIn::stop_button}));
  const hal::InputImage image = board.read_inputs();
  CHECK(image.energised(DigitalIn::stop_button));
  CHECK(image.conversion == 1);
  CHECK(image.count(AnalogIn::oxygen_loop) == 32'768);  // 12 mA of 24
  board.advance(99);
  CHECK(board.read_inputs().conversion == 1);
  board.advance(1);
  CHECK(board.read_inputs().conversion == 2);
}

TEST_CASE("after a loss of power the image starts over from the field as it is then") {
  Board board = powered({}, plain_field({DigitalIn::stop_button}));
  board.advance(150);
  CHECK(board.read_inputs().conversion == 2);
  board.power_off();
  board.present(plain_field({DigitalIn::start_button}));
  board.stop_converter(0);
  board.power_on();
  CHECK(board.read_inputs().contacts == 1U << static_cast<unsigned>(DigitalIn::start_button));
  CHECK(board.read_inputs().conversion == 0);
  CHECK(board.read_inputs().count(AnalogIn::oxygen_loop) == 0);
}

TEST_CASE("powering a board that has power changes nothing") {
  Board board = powered();
  board.write_outputs(some_outputs);
  const Board before = board;
  board.power_on();
  CHECK(board == before);
}

TEST_CASE("the store keeps its content without power and gives none of it to the controller") {
  Board board = powered();
  const std::array bytes{std::byte{1}, std::byte{2}};
  REQUIRE(board.store_write(100, bytes));
  board.power_off();
  std::array<std::byte, 2> into{};
  CHECK_FALSE(board.store_read(100, into));
  CHECK_FALSE(board.store_write(100, into));
  board.power_on();
  CHECK(board.store_read(100, into));
  CHECK(into == bytes);
}

TEST_CASE("a write cut by the loss of power stops the board within it") {
  Board board = powered();
  board.write_outputs(some_outputs);
  const std::array old_bytes{std::byte{1}, std::byte{2}, std::byte{3}};
  const std::array new_bytes{std::byte{11}, std::byte{12}, std::byte{13}};
  REQUIRE(board.store_write(0, old_bytes));
  board.store().cut_power_after(1);
  CHECK_FALSE(board.store_write(0, new_bytes));
  CHECK_FALSE(board.powered());
  CHECK(board.field_outputs() == FieldOutputs{});
  board.power_on();
  CHECK(board.reset_cause() == ResetCause::power_up);
  std::array<std::byte, 3> into{};
  REQUIRE(board.store_read(0, into));
  CHECK(into == std::array{std::byte{11}, std::byte{2}, std::byte{3}});
}

TEST_CASE("a watchdog kicked in time never bites, kicked too late it does") {
  Board board = powered({.watchdog_timeout_ms = 200});
  board.write_outputs(some_outputs);
  for (int i = 0; i < 100; ++i) {
    board.advance(199);
    board.kick_watchdog();
  }
  CHECK_FALSE(board.restart_requested());
  CHECK(board.field_outputs() != FieldOutputs{});

  board.advance(199);
  CHECK_FALSE(board.restart_requested());
  board.advance(1);
  CHECK(board.restart_requested());
  CHECK(board.ignored_calls() == 0);
  board.kick_watchdog();
  CHECK(board.restart_requested());
  CHECK(board.ignored_calls() == 1);
}

TEST_CASE("a watchdog that has bitten de-energises outputs and stops the processor") {
  Board board = powered({.watchdog_timeout_ms = 200}, plain_field({DigitalIn::stop_button}));
  board.write_outputs(some_outputs);
  board.advance(500);
  CHECK(board.restart_requested());
  CHECK(board.powered());
  CHECK(board.field_outputs() == FieldOutputs{});
  board.write_outputs(some_outputs);
  CHECK(board.field_outputs() == FieldOutputs{});
  CHECK(board.read_inputs() == hal::InputImage{});
  CHECK(board.ignored_calls() == 2);
}

TEST_CASE("after the restart the cause is the watchdog, after a power-on it is not") {
  Board board = powered({.watchdog_timeout_ms = 200, .clock_at_start_ms = 5});
  CHECK(board.reset_cause() == ResetCause::power_up);
  board.write_outputs(some_outputs);
  board.advance(200);
  board.restart();
  CHECK_FALSE(board.restart_requested());
  CHECK(board.reset_cause() == ResetCause::watchdog);
  CHECK(board.field_outputs() == FieldOutputs{});
  CHECK(board.now().value == 5);
  CHECK(board.read_inputs().conversion == 3);  // the converter has kept running
  board.advance(199);
  CHECK_FALSE(board.restart_requested());  // the new time starts with the restart
  board.advance(1);
  CHECK(board.restart_requested());

  board.power_off();
  CHECK_FALSE(board.restart_requested());
  board.power_on();
  CHECK(board.reset_cause() == ResetCause::power_up);
}

TEST_CASE("a restart that nothing requested does not happen") {
  Board board = powered();
  board.write_outputs(some_outputs);
  board.advance(50);
  const Board before = board;
  board.restart();
  CHECK(board == before);
}

TEST_CASE("a stopped clock does not stop the watchdog") {
  Board board = powered({.watchdog_timeout_ms = 200});
  REQUIRE(board.inject(ClockFault{.effect = ClockStopped{}}) == "");
  board.advance(200);
  CHECK(board.restart_requested());
}

TEST_CASE("an output whose switch has failed closed outlasts the watchdog but not the power") {
  Board board = powered({.watchdog_timeout_ms = 200});
  REQUIRE(board.inject({.point = DigitalOut::k1, .effect = ShortCircuit{}}).id);
  CHECK(board.field_outputs().energised(DigitalOut::k1));
  board.advance(200);
  REQUIRE(board.restart_requested());
  CHECK(board.field_outputs().coils == 1U);
  board.power_off();
  CHECK(board.field_outputs() == FieldOutputs{});
  board.advance(10);
  CHECK(board.field_outputs() == FieldOutputs{});
}

#pragma once
#include <cstdint>
#include <optional>

#include "firmware/controller/controller.hpp"
#include "hal-mock/board.hpp"

/// The controller on a mock board, with a field that stands still unless a test moves it.
namespace ovenproof::controller::testing {

using hal::AnalogIn;
using hal::DigitalIn;
using hal::DigitalOut;
using logic::Cause;
using logic::Fact;
using logic::Phase;

/// A cold oven at rest in air, door closed, cell warm: all of it healthy.
inline mock::FieldInputs oven_at_rest() {
  mock::FieldInputs field;
  for (const DigitalIn closed :
       {DigitalIn::door_closed_1, DigitalIn::door_closed_2, DigitalIn::stop_button,
        DigitalIn::estop_healthy, DigitalIn::limiter_healthy, DigitalIn::gas_supply_ok,
        DigitalIn::k1_open, DigitalIn::k2_open, DigitalIn::damper_closed}) {
    field.set(closed, true);
  }
  // Thermocouples at the temperature of their terminals, 20 degC; the cell at 750 degC in air.
  field.set(AnalogIn::cold_junction, 107.79);
  field.set(AnalogIn::oxygen_cell_tc, 30.42);
  field.set(AnalogIn::oxygen_loop, 19.77);
  return field;
}

/// Settings whose waiting times are short, for tests that wait them out.
inline settings::Settings quick_settings() {
  settings::Settings s;
  s.oxygen.cell_settle = Milliseconds(1'000);
  s.cooling.fan_run_on = Milliseconds(1'000);
  s.contacts.proof_least_off = Milliseconds(100);
  return s;
}

class Bench {
 public:
  explicit Bench(const settings::Settings& settings = quick_settings(),
                 const mock::FieldInputs& at_start = oven_at_rest())
      : field(at_start) {
    board.store().write(settings_offset, settings::encode(settings));
    power_on();
  }
  /// A board that holds whatever its store holds.
  explicit Bench(const mock::Board& as_it_is) : field(oven_at_rest()), board(as_it_is) {
    power_on();
  }

  void power_on() {
    board.present(field);
    board.power_on();
    controller.emplace(start(board));
  }

  /// Time passes without a scan.
  void idle(std::uint32_t ms) {
    board.present(field);
    board.advance(ms);
  }
  void scan() {
    idle(10);
    if (board.restart_requested()) {
      board.restart();
      controller.emplace(start(board));
    }
    run_scan(*controller, board);
  }
  void run(std::uint32_t ms) {
    for (std::uint32_t t = 0; t < ms; t += 10) scan();
  }
  void press(DigitalIn button) {
    field.set(button, true);
    run(150);
    field.set(button, false);
    run(150);
  }
  void reset() {
    run(100);
    press(DigitalIn::reset_button);
  }

  [[nodiscard]] bool fact(Fact which) const { return controller->facts().get(which); }
  [[nodiscard]] Phase phase() const { return controller->commands().phase; }
  [[nodiscard]] Cause first_out() const { return controller->commands().first_out; }
  [[nodiscard]] bool lit(DigitalOut point) const { return board.field_outputs().energised(point); }
  /// Contactors, heater, fan, valves, damper, blowers: what can hurt.
  [[nodiscard]] bool anything_energised() const {
    const mock::FieldOutputs& out = board.field_outputs();
    return (out.coils & ((1U << static_cast<unsigned>(DigitalOut::run_lamp)) - 1U)) != 0 ||
           out.heater_permille > 0.0;
  }

  mock::FieldInputs field;
  mock::Board board;
  std::optional<Controller> controller;
};

/// The instruments alone, on a mock board: a test says what is energised.
class InstrumentBench {
 public:
  explicit InstrumentBench(const settings::Settings& settings)
      : configuration(configure(settings)) {
    board.present(field);
    board.power_on();
  }

  /// A scan, 10 ms after the last one.
  auto scan(logic::OutputSet energised, Fraction drive) {
    board.present(field);
    board.advance(10);
    board.kick_watchdog();
    return instruments.update(board.read_inputs(), Milliseconds(10), energised, drive,
                              configuration);
  }
  void thermocouples(double mV) {
    field.set(AnalogIn::te_a, mV);
    field.set(AnalogIn::te_b, mV);
  }
  [[nodiscard]] bool fact(Fact which) const { return facts.get(which); }

  Configuration configuration;
  mock::FieldInputs field = oven_at_rest();
  mock::Board board;
  Instruments instruments;
  FactTable facts;
};

}  // namespace ovenproof::controller::testing

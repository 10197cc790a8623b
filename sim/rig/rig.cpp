#include "sim/rig/rig.hpp"

#include <algorithm>

#include "firmware/settings/store.hpp"
#include "sim/rig/field_wiring.hpp"

namespace ovenproof::rig {

namespace {

plant::Surroundings nominal_surroundings(const Oven& oven) {
  plant::Surroundings nominal;
  nominal.supply_kPa = oven.plant.supply.pressure_kPa;
  return nominal;
}

/// The converter is as fast as the settings say that it is.
mock::BoardOptions board_of(const Oven& oven) {
  mock::BoardOptions board = oven.board;
  board.conversion_period_ms = oven.settings.scan.conversion_period.value;
  return board;
}

}  // namespace

Rig::Rig(const Oven& oven)
    : surroundings(nominal_surroundings(oven)),
      board_(board_of(oven)),
      plant_(oven.plant, surroundings, oven.initial,
             {.scan_s = oven.settings.scan.period.value / 1000.0}),
      period_ms_(oven.settings.scan.period.value),
      starts_by_door_(oven.settings.options.start_by_door) {
  board_.store().write(controller::settings_offset, settings::encode(oven.settings));
  power_on();
}

bool Rig::exchange_load() {
  return plant_.place_load(plant_.parameters().load.mass_kg, surroundings.ambient_degC);
}

void Rig::power_on() {
  board_.present(wire_inputs(plant_.field(), hands));
  board_.power_on();
  controller_.emplace(controller::start(board_));
}

void Rig::power_off() {
  board_.power_off();
  controller_.reset();
}

void Rig::scan() {
  if (board_.restart_requested()) {
    board_.restart();
    controller_.emplace(controller::start(board_));
  }
  if (controller_ && now_ms() >= stalled_until_ms_) controller::run_scan(*controller_, board_);
}

void Rig::apply_component_faults() {
  if (component_faults_.empty()) return;
  plant::Faults faults;
  for (const ComponentFault& each : component_faults_) {
    faults[each.fault] = std::max(faults[each.fault], each.at(now_ms()));
  }
  plant_.set_faults(faults);
}

void Rig::clear_component_faults() {
  component_faults_.clear();
  plant_.set_faults({});
}

void Rig::step() {
  board_.present(wire_inputs(plant_.field(), hands));
  board_.advance(period_ms_);
  scan();
  apply_component_faults();
  plant::Actuation driven = wire_outputs(board_.field_outputs());
  driven.supply = board_.powered();
  plant_.step(driven,
              plant::Operator{hands.door_open, hands.estop, hands.reset, hands.limiter_reset},
              surroundings);
}

}  // namespace ovenproof::rig

#include "firmware/controller/configuration.hpp"

namespace ovenproof::controller {
namespace {

using settings::Settings;

logic::Options options_of(const Settings& s) {
  return {s.options.oxygen_sensor != settings::OxygenSensor::none, s.options.jacket_cooling,
          s.options.start_by_door, static_cast<std::uint8_t>(s.purge.max_repurges)};
}

TimerBank::Presets timers_of(const Settings& s) {
  TimerBank::Presets presets{};
  const auto set = [&presets](logic::Timer timer, Milliseconds preset) {
    presets[static_cast<std::size_t>(timer)] = preset;
  };
  using enum logic::Timer;
  set(gate_hold, s.purge.gate_hold);
  set(purge_timeout, s.purge.timeout);
  set(heating_timeout, s.programme.heating_timeout);
  set(cooling_timeout, s.cooling.timeout);
  set(arm_expiry, s.purge.arm_expiry);
  set(changeover, s.timing.changeover);
  set(supply_lost, s.timing.supply_loss);
  set(purge_flow_missing, s.timing.flow_proof);
  set(process_flow_missing, s.timing.flow_proof);
  set(purge_flow_unexpected, s.timing.flow_gone);
  set(process_flow_unexpected, s.timing.flow_gone);
  set(fan_not_proven, s.timing.fan_start);
  set(fan_unexpected, s.timing.fan_stop);
  set(k1_not_open, s.timing.contactor_response);
  set(k2_not_open, s.timing.contactor_response);
  set(k1_not_closed, s.timing.contactor_response);
  set(k2_not_closed, s.timing.contactor_response);
  set(damper_not_open, s.timing.damper_open_travel);
  set(damper_not_closed, s.timing.damper_close_travel);
  set(blower_not_proven, s.timing.blower_start);
  set(blower_unexpected, s.timing.blower_stop);
  return presets;
}

conditioning::ContactBankLimits contacts_of(const Settings& s) {
  using hal::DigitalIn;
  conditioning::ContactBankLimits limits{};
  const auto set = [&limits](DigitalIn point, Milliseconds on, Milliseconds off) {
    limits[static_cast<std::size_t>(point)] = {on, off};
  };
  const Milliseconds button = s.contacts.button_debounce;
  const Milliseconds contact = s.contacts.contact_debounce;
  const Milliseconds at_once{0};
  for (conditioning::DebounceLimits& each : limits) each = {contact, contact};
  set(DigitalIn::start_button, button, button);
  set(DigitalIn::reset_button, button, button);
  // Stop is normally closed: what opens is the press.
  set(DigitalIn::stop_button, button, at_once);
  // What protects is believed at once when it goes to the unsafe side.
  set(DigitalIn::estop_healthy, contact, at_once);
  set(DigitalIn::limiter_healthy, contact, at_once);
  set(DigitalIn::fan_running, contact, at_once);
  set(DigitalIn::process_flow, contact, at_once);
  set(DigitalIn::purge_flow, contact, at_once);
  set(DigitalIn::damper_open, contact, at_once);
  return limits;
}

conditioning::AnalogLimits analog_of(const Settings& s) {
  conditioning::AnalogLimits limits;
  limits.control_type = s.options.thermocouple_type == settings::ThermocoupleType::type_n
                            ? conditioning::ThermocoupleType::N
                            : conditioning::ThermocoupleType::K;
  limits.control_sensors = static_cast<std::uint8_t>(s.options.thermocouples);
  switch (s.options.oxygen_sensor) {
    case settings::OxygenSensor::none:
      limits.oxygen_sensor = conditioning::OxygenSensor::none;
      break;
    case settings::OxygenSensor::zirconia_cell:
      limits.oxygen_sensor = conditioning::OxygenSensor::cell;
      break;
    case settings::OxygenSensor::transmitter:
      limits.oxygen_sensor = conditioning::OxygenSensor::loop;
      break;
  }
  limits.stale_after = s.scan.converter_stale;
  limits.cold_junction = {s.temperature.cold_junction_low, s.temperature.cold_junction_high};
  limits.control = {s.temperature.range_low, s.temperature.range_high};
  limits.cell.set_temperature = s.oxygen.cell_temperature;
  limits.cell.band = s.oxygen.cell_band;
  limits.cell.settle_time = s.oxygen.cell_settle;
  limits.cell.min = s.oxygen.cell_range_low;
  limits.cell.max = s.oxygen.cell_range_high;
  limits.loop.scale = s.oxygen.transmitter_scale == settings::LoopScale::linear
                          ? conditioning::LoopScale::linear
                          : conditioning::LoopScale::logarithmic;
  limits.loop.at_4_mA = s.oxygen.transmitter_low;
  limits.loop.at_20_mA = s.oxygen.transmitter_high;
  limits.loop.hold_time = s.oxygen.loop_hold_time;
  return limits;
}

conditioning::OvenTemperatureLimits temperature_of(const Settings& s) {
  conditioning::OvenTemperatureLimits limits;
  limits.sensors = static_cast<std::uint8_t>(s.options.thermocouples);
  limits.disagreement = s.temperature.disagree_limit;
  limits.disagreement_time = s.temperature.disagree_time;
  limits.rate_window = s.temperature.rate_window;
  limits.max_rise = s.temperature.rate_max_rise;
  limits.max_fall = s.temperature.rate_max_fall;
  limits.max_fall_closed = s.temperature.rate_max_fall_closed;
  return limits;
}

conditioning::HeatPlausibilityLimits heat_of(const Settings& s) {
  conditioning::HeatPlausibilityLimits limits;
  limits.high_drive = Fraction(static_cast<float>(s.temperature.no_rise_drive_permille) / 1000.0F);
  limits.no_rise_time = s.temperature.no_rise_time;
  limits.min_rise = s.temperature.min_rise;
  limits.grace = s.temperature.undemanded_grace;
  limits.slow_rise_K_per_min = s.temperature.undemanded_slow_rise_K_per_min;
  limits.max_rise = s.temperature.undemanded_rise;
  limits.max_overshoot = s.temperature.max_overshoot;
  return limits;
}

conditioning::OxygenTrustLimits trust_of(const Settings& s) {
  conditioning::OxygenTrustLimits limits;
  limits.chamber_volume_L = s.purge.chamber_volume_L;
  limits.purge_flow = s.purge.purge_flow;
  limits.process_flow = s.purge.process_flow;
  limits.lag = s.oxygen.lag;
  limits.air_time = s.oxygen.air_open_time;
  limits.air_min = s.oxygen.air_low;
  limits.air_max = s.oxygen.air_high;
  limits.mixing_factor = s.oxygen.mixing_factor;
  limits.floor = s.oxygen.fall_floor;
  limits.lead_factor = s.oxygen.lead_factor;
  limits.implausible_time = s.oxygen.early_time;
  limits.frozen_time = s.oxygen.frozen_time;
  limits.frozen_cell_change = s.oxygen.frozen_cell_change;
  limits.frozen_band = s.oxygen.frozen_band;
  limits.warm_up_max = s.oxygen.warm_up_maximum;
  return limits;
}

}  // namespace

Configuration configure(const Settings& s) {
  Configuration c;
  c.settings = s;
  c.options = options_of(s);
  c.timers = timers_of(s);
  c.contacts = contacts_of(s);
  c.door = {static_cast<std::uint8_t>(s.options.door_contacts), s.contacts.door_close_debounce,
            s.contacts.door_open_debounce, s.contacts.door_discrepancy};
  c.flaps = {s.contacts.proof_losses, s.contacts.proof_loss_window, s.contacts.proof_least_off};
  c.analog = analog_of(s);
  c.temperature = temperature_of(s);
  c.over_temperature = {s.temperature.high_limit, s.temperature.high_limit_hysteresis};
  c.heat = heat_of(s);
  c.thresholds = {s.purge.gate, s.purge.gate_hysteresis, s.purge.hold_limit,
                  s.purge.hold_hysteresis};
  c.trust = trust_of(s);
  return c;
}

}  // namespace ovenproof::controller

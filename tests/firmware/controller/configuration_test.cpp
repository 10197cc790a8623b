#include "firmware/controller/configuration.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "firmware/settings/table.hpp"

using namespace ovenproof;
using controller::Configuration;
using settings::Settings;

namespace {

/// Where the value of a setting arrives, as the part that works with it sees it.
struct Arrival {
  std::string_view key;
  double (*at)(const Configuration&);
};

template <logic::Timer timer>
double preset(const Configuration& c) {
  return c.timers[static_cast<std::size_t>(timer)].value;
}

template <hal::DigitalIn point>
double on_time(const Configuration& c) {
  return c.contacts[static_cast<std::size_t>(point)].on_time.value;
}

template <hal::DigitalIn point>
double off_time(const Configuration& c) {
  return c.contacts[static_cast<std::size_t>(point)].off_time.value;
}

using C = const Configuration&;
using T = logic::Timer;
using D = hal::DigitalIn;

const std::vector<Arrival>& arrivals() {
  static const std::vector<Arrival> all{
      {"options.oxygen_sensor", [](C c) { return double(c.analog.oxygen_sensor); }},
      {"options.jacket_cooling", [](C c) { return double(c.options.jacket_cooling); }},
      {"options.start_by_door", [](C c) { return double(c.options.start_by_door); }},
      {"options.door_contacts", [](C c) { return double(c.door.contacts); }},
      {"options.thermocouples", [](C c) { return double(c.analog.control_sensors); }},
      {"options.thermocouples", [](C c) { return double(c.temperature.sensors); }},
      {"options.thermocouple_type", [](C c) { return double(c.analog.control_type); }},

      {"contacts.door_close_debounce", [](C c) { return double(c.door.close_time.value); }},
      {"contacts.door_open_debounce", [](C c) { return double(c.door.open_time.value); }},
      {"contacts.door_discrepancy", [](C c) { return double(c.door.discrepancy_time.value); }},
      {"contacts.button_debounce", on_time<D::start_button>},
      {"contacts.button_debounce", off_time<D::start_button>},
      {"contacts.button_debounce", on_time<D::reset_button>},
      {"contacts.button_debounce", off_time<D::reset_button>},
      {"contacts.button_debounce", on_time<D::stop_button>},
      {"contacts.contact_debounce", on_time<D::estop_healthy>},
      {"contacts.contact_debounce", on_time<D::limiter_healthy>},
      {"contacts.contact_debounce", on_time<D::fan_running>},
      {"contacts.contact_debounce", on_time<D::process_flow>},
      {"contacts.contact_debounce", on_time<D::purge_flow>},
      {"contacts.contact_debounce", on_time<D::damper_open>},
      {"contacts.contact_debounce", on_time<D::gas_supply_ok>},
      {"contacts.contact_debounce", off_time<D::gas_supply_ok>},
      {"contacts.contact_debounce", on_time<D::k1_open>},
      {"contacts.contact_debounce", off_time<D::k1_open>},
      {"contacts.contact_debounce", on_time<D::k2_open>},
      {"contacts.contact_debounce", off_time<D::k2_open>},
      {"contacts.contact_debounce", on_time<D::damper_closed>},
      {"contacts.contact_debounce", off_time<D::damper_closed>},
      {"contacts.contact_debounce", on_time<D::blower_running>},
      {"contacts.contact_debounce", off_time<D::blower_running>},

      {"purge.chamber_volume", [](C c) { return double(c.trust.chamber_volume_L); }},
      {"purge.purge_flow", [](C c) { return double(c.trust.purge_flow.value); }},
      {"purge.process_flow", [](C c) { return double(c.trust.process_flow.value); }},
      {"purge.gate", [](C c) { return double(c.thresholds.gate.value); }},
      {"purge.gate_hold", preset<T::gate_hold>},
      {"purge.gate_hysteresis", [](C c) { return double(c.thresholds.gate_hysteresis.value); }},
      {"purge.hold_limit", [](C c) { return double(c.thresholds.hold.value); }},
      {"purge.hold_hysteresis", [](C c) { return double(c.thresholds.hold_hysteresis.value); }},
      {"purge.timeout", preset<T::purge_timeout>},
      {"purge.max_repurges", [](C c) { return double(c.options.max_repurges); }},
      {"contacts.proof_losses", [](C c) { return double(c.flaps.losses); }},
      {"contacts.proof_loss_window", [](C c) { return double(c.flaps.window.value); }},
      {"purge.arm_expiry", preset<T::arm_expiry>},

      {"timing.flow_proof", preset<T::purge_flow_missing>},
      {"timing.flow_proof", preset<T::process_flow_missing>},
      {"timing.flow_gone", preset<T::purge_flow_unexpected>},
      {"timing.flow_gone", preset<T::process_flow_unexpected>},
      {"timing.changeover", preset<T::changeover>},
      {"timing.supply_loss", preset<T::supply_lost>},
      {"timing.fan_start", preset<T::fan_not_proven>},
      {"timing.fan_stop", preset<T::fan_unexpected>},
      {"timing.contactor_response", preset<T::k1_not_open>},
      {"timing.contactor_response", preset<T::k2_not_open>},
      {"timing.contactor_response", preset<T::k1_not_closed>},
      {"timing.contactor_response", preset<T::k2_not_closed>},
      {"timing.damper_open_travel", preset<T::damper_not_open>},
      {"timing.damper_close_travel", preset<T::damper_not_closed>},
      {"timing.blower_start", preset<T::blower_not_proven>},
      {"timing.blower_stop", preset<T::blower_unexpected>},

      {"temperature.high_limit", [](C c) { return double(c.over_temperature.limit.value); }},
      {"temperature.high_limit_hysteresis",
       [](C c) { return double(c.over_temperature.hysteresis.value); }},
      {"temperature.disagree_limit", [](C c) { return double(c.temperature.disagreement.value); }},
      {"temperature.disagree_time",
       [](C c) { return double(c.temperature.disagreement_time.value); }},
      {"temperature.rate_window", [](C c) { return double(c.temperature.rate_window.value); }},
      {"temperature.rate_max_rise", [](C c) { return double(c.temperature.max_rise.value); }},
      {"temperature.rate_max_fall", [](C c) { return double(c.temperature.max_fall.value); }},
      {"temperature.rate_max_fall_closed",
       [](C c) { return double(c.temperature.max_fall_closed.value); }},
      {"temperature.no_rise_time", [](C c) { return double(c.heat.no_rise_time.value); }},
      {"temperature.min_rise", [](C c) { return double(c.heat.min_rise.value); }},
      {"temperature.no_rise_drive", [](C c) { return double(1000.0F * c.heat.high_drive.value); }},
      {"temperature.undemanded_rise", [](C c) { return double(c.heat.max_rise.value); }},
      {"temperature.max_overshoot", [](C c) { return double(c.heat.max_overshoot.value); }},
      {"temperature.undemanded_slow_rise", [](C c) { return double(c.heat.slow_rise_K_per_min); }},
      {"temperature.undemanded_grace", [](C c) { return double(c.heat.grace.value); }},
      {"temperature.range_low", [](C c) { return double(c.analog.control.min.value); }},
      {"temperature.range_high", [](C c) { return double(c.analog.control.max.value); }},
      {"temperature.cold_junction_low",
       [](C c) { return double(c.analog.cold_junction.min.value); }},
      {"temperature.cold_junction_high",
       [](C c) { return double(c.analog.cold_junction.max.value); }},

      {"oxygen.cell_temperature", [](C c) { return double(c.analog.cell.set_temperature.value); }},
      {"oxygen.cell_band", [](C c) { return double(c.analog.cell.band.value); }},
      {"oxygen.cell_settle", [](C c) { return double(c.analog.cell.settle_time.value); }},
      {"oxygen.cell_range_low", [](C c) { return double(c.analog.cell.min.value); }},
      {"oxygen.cell_range_high", [](C c) { return double(c.analog.cell.max.value); }},
      {"oxygen.warm_up_maximum", [](C c) { return double(c.trust.warm_up_max.value); }},
      {"oxygen.transmitter_scale", [](C c) { return double(c.analog.loop.scale); }},
      {"oxygen.transmitter_low", [](C c) { return double(c.analog.loop.at_4_mA.value); }},
      {"oxygen.transmitter_high", [](C c) { return double(c.analog.loop.at_20_mA.value); }},
      {"oxygen.loop_hold_time", [](C c) { return double(c.analog.loop.hold_time.value); }},
      {"oxygen.lag", [](C c) { return double(c.trust.lag.value); }},
      {"oxygen.air_open_time", [](C c) { return double(c.trust.air_time.value); }},
      {"oxygen.air_low", [](C c) { return double(c.trust.air_min.value); }},
      {"oxygen.air_high", [](C c) { return double(c.trust.air_max.value); }},
      {"oxygen.mixing_factor", [](C c) { return double(c.trust.mixing_factor); }},
      {"oxygen.fall_floor", [](C c) { return double(c.trust.floor.value); }},
      {"oxygen.lead_factor", [](C c) { return double(c.trust.lead_factor); }},
      {"oxygen.early_time", [](C c) { return double(c.trust.implausible_time.value); }},
      {"oxygen.frozen_time", [](C c) { return double(c.trust.frozen_time.value); }},
      {"oxygen.frozen_cell_change", [](C c) { return double(c.trust.frozen_cell_change.value); }},

      {"programme.heating_timeout", preset<T::heating_timeout>},
      {"cooling.timeout", preset<T::cooling_timeout>},
      {"contacts.proof_least_off", [](C c) { return double(c.flaps.least_off.value); }},
      {"oxygen.frozen_band", [](C c) { return double(c.trust.frozen_band); }},
      {"scan.converter_stale", [](C c) { return double(c.analog.stale_after.value); }},
  };
  return all;
}

/// Settings that are read where they stand, by the parts that take their own group of settings, or
/// that only validation and documents go by.
bool read_where_it_stands(std::string_view key) {
  static const std::set<std::string_view> single{
      "options.gas",
      "purge.minimum_volumes",
      "temperature.limit_margin",
      "scan.period",
      "scan.overrun_limit",
      "scan.clock_jump",
      "oxygen.air_before_start",
      "purge.counted_share",
      "scan.conversion_period",
      "scan.clock_tolerance",
  };
  return single.contains(key) || key.starts_with("cooling.") || key.starts_with("programme.") ||
         key.starts_with("control.");
}

double number_of(const settings::Value& value) {
  return value.kind == settings::Kind::number ? double{value.as_number()}
                                              : double(value.as_integer());
}

/// Another value of the setting than its default, within its range.
settings::Value another(const settings::Descriptor& entry) {
  const settings::Value normal = entry.default_value();
  if (entry.kind == settings::Kind::number) {
    const float low = entry.minimum.as_number();
    const float middle = low + 0.37F * (entry.maximum.as_number() - low);
    return settings::Value::number(middle != normal.as_number() ? middle : low);
  }
  const bool at_top = normal.bits >= entry.maximum.bits;
  return {entry.kind, at_top ? normal.bits - 1 : normal.bits + 1};
}

Configuration with(const settings::Descriptor& entry, settings::Value value) {
  Settings s;
  entry.set(s, value);
  return controller::configure(s);
}

}  // namespace

TEST_CASE("each setting arrives where it is needed with its value, and nothing else moves") {
  const Configuration normal = controller::configure({});
  for (const settings::Descriptor& entry : settings::table) {
    CAPTURE(std::string(entry.key));
    const settings::Value value = another(entry);
    REQUIRE(settings::in_range(entry, value));
    const double by_default = number_of(entry.default_value());
    const Configuration changed = with(entry, value);
    CHECK(entry.get(changed.settings) == value);
    for (const Arrival& arrival : arrivals()) {
      CAPTURE(std::string(arrival.key));
      if (arrival.key == entry.key) {
        CHECK(arrival.at(normal) == doctest::Approx(by_default).epsilon(1e-6));
        CHECK(arrival.at(changed) == doctest::Approx(number_of(value)).epsilon(1e-6));
      } else {
        CHECK(arrival.at(changed) == arrival.at(normal));
      }
    }
  }
}

TEST_CASE("no setting is forgotten: each arrives somewhere or is read where it stands") {
  for (const settings::Descriptor& entry : settings::table) {
    CAPTURE(std::string(entry.key));
    const bool arrives =
        std::any_of(arrivals().begin(), arrivals().end(),
                    [&entry](const Arrival& arrival) { return arrival.key == entry.key; });
    CHECK((arrives || read_where_it_stands(entry.key)));
  }
  for (const Arrival& arrival : arrivals()) {
    CAPTURE(std::string(arrival.key));
    CHECK(std::any_of(
        settings::table.begin(), settings::table.end(),
        [&arrival](const settings::Descriptor& entry) { return entry.key == arrival.key; }));
  }
}

TEST_CASE("any oxygen sensor is a monitor to the logic, none is none") {
  using settings::OxygenSensor;
  for (const auto& [sensor, monitor] : {std::pair{OxygenSensor::none, false},
                                        {OxygenSensor::zirconia_cell, true},
                                        {OxygenSensor::transmitter, true}}) {
    Settings s;
    s.options.oxygen_sensor = sensor;
    CHECK(controller::configure(s).options.oxygen_monitor == monitor);
  }
}

TEST_CASE("no timer is left without a preset, and no contact that permits without a debounce") {
  const Configuration c = controller::configure({});
  for (const Milliseconds each : c.timers) CHECK(each.value > 0);
  for (const conditioning::DebounceLimits& each : c.contacts) CHECK(each.on_time.value > 0);
}

TEST_CASE("what protects is believed at once, whatever the debounce is set to") {
  Settings slow;
  slow.contacts.contact_debounce = Milliseconds(200);
  slow.contacts.button_debounce = Milliseconds(200);
  const Configuration c = controller::configure(slow);
  for (const auto off :
       {off_time<D::stop_button>, off_time<D::estop_healthy>, off_time<D::limiter_healthy>,
        off_time<D::fan_running>, off_time<D::process_flow>, off_time<D::purge_flow>,
        off_time<D::damper_open>}) {
    CHECK(off(c) == 0.0);
  }
}

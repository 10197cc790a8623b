#pragma once
#include <array>
#include <cstddef>
#include <cstdint>

#include "firmware/math/units.hpp"

/// Everything about one oven that the controller is told and cannot find out.
///
/// Plain data. The member initialisers are the defaults; range, unit, meaning and source of each
/// setting are in `table.hpp`, which is also what validation, storage and documents go by.
namespace ovenproof::settings {

enum class Gas : std::uint8_t { nitrogen, argon };
enum class OxygenSensor : std::uint8_t { none, zirconia_cell, transmitter };
enum class ThermocoupleType : std::uint8_t { type_k, type_n };
enum class LoopScale : std::uint8_t { linear, logarithmic };

/// What the oven is made of.
struct Options {
  Gas gas = Gas::nitrogen;
  OxygenSensor oxygen_sensor = OxygenSensor::zirconia_cell;
  bool jacket_cooling = true;
  bool start_by_door = false;
  std::uint32_t door_contacts = 2;
  std::uint32_t thermocouples = 2;
  ThermocoupleType thermocouple_type = ThermocoupleType::type_k;
  friend constexpr bool operator==(const Options&, const Options&) = default;
};

/// Contact inputs: how long a change must last to be believed.
struct Contacts {
  Milliseconds door_close_debounce{200};
  Milliseconds door_open_debounce{20};
  Milliseconds door_discrepancy{1000};
  Milliseconds button_debounce{50};
  Milliseconds contact_debounce{50};
  std::uint32_t proof_losses = 5;
  Milliseconds proof_loss_window{600'000};
  Milliseconds proof_least_off{1'000};
  friend constexpr bool operator==(const Contacts&, const Contacts&) = default;
};

/// Gas, purge and the oxygen levels that decide.
struct Purge {
  float chamber_volume_L = 160.0F;
  LitresPerMinute purge_flow{100.0F};
  LitresPerMinute process_flow{20.0F};
  float minimum_volumes = 5.0F;
  Fraction counted_share{0.75F};
  Ppm gate{100.0F};
  Milliseconds gate_hold{30'000};
  Ppm gate_hysteresis{10.0F};
  Ppm hold_limit{500.0F};
  Ppm hold_hysteresis{50.0F};
  Milliseconds timeout{3'600'000};
  std::uint32_t max_repurges = 1;
  Milliseconds arm_expiry{1'800'000};
  /// The flow that a proven purge is sure to have: the flow switch proves no more.
  [[nodiscard]] constexpr LitresPerMinute counted_flow() const {
    return LitresPerMinute(purge_flow.value * counted_share.value);
  }
  friend constexpr bool operator==(const Purge&, const Purge&) = default;
};

/// How long each actuator may take until its feedback must agree.
struct Timing {
  Milliseconds flow_proof{5'000};
  Milliseconds flow_gone{5'000};
  Milliseconds changeover{1'000};
  Milliseconds supply_loss{2'000};
  Milliseconds fan_start{10'000};
  Milliseconds fan_stop{60'000};
  Milliseconds contactor_response{500};
  Milliseconds damper_open_travel{60'000};
  Milliseconds damper_close_travel{60'000};
  Milliseconds blower_start{10'000};
  Milliseconds blower_stop{60'000};
  friend constexpr bool operator==(const Timing&, const Timing&) = default;
};

/// Chamber temperature: limit and plausibility.
struct Temperature {
  Celsius high_limit{600.0F};
  Kelvins high_limit_hysteresis{10.0F};
  Kelvins limit_margin{15.0F};
  Kelvins disagree_limit{20.0F};
  Milliseconds disagree_time{10'000};
  Milliseconds rate_window{10'000};
  Kelvins rate_max_rise{60.0F};
  Kelvins rate_max_fall{250.0F};
  Kelvins rate_max_fall_closed{30.0F};
  Milliseconds no_rise_time{900'000};
  Kelvins min_rise{5.0F};
  std::uint32_t no_rise_drive_permille = 900;
  Kelvins undemanded_rise{30.0F};
  Kelvins max_overshoot{40.0F};
  float undemanded_slow_rise_K_per_min = 0.5F;
  Milliseconds undemanded_grace{600'000};
  Celsius range_low{-20.0F};
  Celsius range_high{1000.0F};
  Celsius cold_junction_low{-10.0F};
  Celsius cold_junction_high{70.0F};
  friend constexpr bool operator==(const Temperature&, const Temperature&) = default;
};

/// Cool-down: when it is over, and what must run on until then.
struct Cooling {
  Celsius unload_temperature{60.0F};
  Celsius elements_cool_temperature{150.0F};
  Milliseconds fan_run_on{300'000};
  Celsius settled_temperature{80.0F};
  LitresPerMinute settled_shrink{0.5F};
  Fraction make_up_fraction{0.8F};
  Milliseconds shrink_filter{30'000};
  Milliseconds timeout{86'400'000};
  friend constexpr bool operator==(const Cooling&, const Cooling&) = default;
};

/// The oxygen sensor and how its reading earns trust.
struct Oxygen {
  Celsius cell_temperature{750.0F};
  Kelvins cell_band{15.0F};
  Milliseconds cell_settle{120'000};
  Ppm cell_range_low{0.01F};
  Ppm cell_range_high{250'000.0F};
  Milliseconds warm_up_maximum{2'400'000};
  LoopScale transmitter_scale = LoopScale::logarithmic;
  Ppm transmitter_low{1.0F};
  Ppm transmitter_high{250'000.0F};
  Milliseconds loop_hold_time{4'000};
  Milliseconds lag{60'000};
  Milliseconds air_open_time{180'000};
  Ppm air_low{190'000.0F};
  Ppm air_high{225'000.0F};
  bool air_before_start = true;
  float mixing_factor = 4.0F;
  Ppm fall_floor{2'000.0F};
  float lead_factor = 2.0F;
  Milliseconds early_time{5'000};
  Milliseconds frozen_time{120'000};
  Kelvins frozen_cell_change{8.0F};
  std::uint32_t frozen_band = 8;
  friend constexpr bool operator==(const Oxygen&, const Oxygen&) = default;
};

/// One step of the temperature programme: ramp to the target, then soak there.
struct Segment {
  Celsius target{350.0F};
  float ramp_K_per_min = 10.0F;
  Milliseconds soak{3'600'000};
  friend constexpr bool operator==(const Segment&, const Segment&) = default;
};

inline constexpr std::size_t max_segments = 8;

/// The temperature programme. Segments beyond `segment_count` are not used.
struct Programme {
  std::uint32_t segment_count = 1;
  Kelvins soak_band{5.0F};
  Kelvins ramp_lag_limit{20.0F};
  Milliseconds heating_timeout{43'200'000};
  std::array<Segment, max_segments> segments{};
  friend constexpr bool operator==(const Programme&, const Programme&) = default;
};

/// Temperature controller and heater drive.
struct Control {
  float gain_per_K = 0.02F;
  Milliseconds integral_time{600'000};
  Milliseconds derivative_time{30'000};
  Milliseconds derivative_filter{5'000};
  std::uint32_t max_drive_permille = 1000;
  std::uint32_t drive_rate_permille_per_s = 200;
  friend constexpr bool operator==(const Control&, const Control&) = default;
};

/// The scan and its supervision.
struct Scan {
  Milliseconds period{10};
  Milliseconds overrun_limit{50};
  Milliseconds clock_jump{1'000};
  Milliseconds converter_stale{500};
  Milliseconds conversion_period{100};
  Fraction clock_tolerance{0.2F};
  friend constexpr bool operator==(const Scan&, const Scan&) = default;
};

/// All settings of one oven.
struct Settings {
  Options options;
  Contacts contacts;
  Purge purge;
  Timing timing;
  Temperature temperature;
  Cooling cooling;
  Oxygen oxygen;
  Programme programme;
  Control control;
  Scan scan;
  friend constexpr bool operator==(const Settings&, const Settings&) = default;
};

}  // namespace ovenproof::settings

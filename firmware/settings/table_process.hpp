#pragma once
#include <array>
#include <cstddef>
#include <string_view>
#include <utility>

#include "firmware/settings/entry.hpp"

/// Entries of the process: cooling, oxygen, temperature programme, control and scan.
namespace ovenproof::settings {

inline constexpr std::array<std::string_view, 2> loop_scale_names{"linear", "logarithmic"};

namespace detail {

inline constexpr auto cooling_table = [] {
  constexpr auto g = &Settings::cooling;
  using T = Cooling;
  return std::array{
      number<g, &T::unload_temperature>("cooling.unload_temperature", "degC", 20, 300,
                                        "chamber temperature at or below which the cycle is over",
                                        "set by the load's oxidation in air and by hot surfaces"),
      number<g, &T::elements_cool_temperature>(
          "cooling.elements_cool_temperature", "degC", 30, 600,
          "chamber temperature at or below which the elements need no airflow", "common practice"),
      integer<g, &T::fan_run_on>("cooling.fan_run_on", "ms", 0, hour_ms,
                                 "least time the fan runs on after heat", "common practice"),
      number<g, &T::settled_temperature>("cooling.settled_temperature", "degC", 20, 300,
                                         "process flow may stop at or below this",
                                         "above it the chamber still shrinks by much when closed"),
      number<g, &T::settled_shrink>(
          "cooling.settled_shrink", "L/min", 0.001F, 100,
          "and when the gas shrinks slower than this, 0 degC and 101.325 kPa",
          "ideal gas at constant pressure; small beside what the non-return valve lets back"),
      number<g, &T::make_up_fraction>("cooling.make_up_fraction", "1", 0.05F, 1,
                                      "share of the process flow that may go into shrinkage",
                                      "common practice; the rest keeps the exhaust flowing out"),
      integer<g, &T::shrink_filter>("cooling.shrink_filter", "ms", 1'000, 600'000,
                                    "time constant of the cooling-rate filter",
                                    "common practice; above sensor noise, below the oven's own"),
      integer<g, &T::timeout>("cooling.timeout", "ms", 60'000, 7 * day_ms,
                              "cooling and flushing end by now, or something is wrong",
                              "common practice; longer than a full load takes to cool"),
  };
}();

inline constexpr auto oxygen_table = [] {
  constexpr auto g = &Settings::oxygen;
  using T = Oxygen;
  return std::array{
      number<g, &T::cell_temperature>(
          "oxygen.cell_temperature", "degC", 600, 1'000,
          "regulated temperature of the zirconia cell",
          "cells run at 700 degC to 850 degC (from memory: data sheet of the cell, operating "
          "temperature: check against the source)"),
      number<g, &T::cell_band>("oxygen.cell_band", "K", 1, 100,
                               "the cell is warm within this of its temperature",
                               "Nernst equation: 10 K mistaken at 1000 ppm reads 5 % wrong"),
      integer<g, &T::cell_settle>("oxygen.cell_settle", "ms", 0, hour_ms,
                                  "and after it has been so this long", "common practice"),
      number<g, &T::cell_range_low>("oxygen.cell_range_low", "ppm", 1e-6F, 100,
                                    "readings of the cell below are invalid",
                                    "no purge goes there: burning traces or a fault"),
      number<g, &T::cell_range_high>("oxygen.cell_range_high", "ppm", 210'000, 1'000'000,
                                     "readings of the cell above are invalid",
                                     "dry air holds 209 500 ppm"),
      integer<g, &T::warm_up_maximum>("oxygen.warm_up_maximum", "ms", 60'000, 3 * hour_ms,
                                      "longest warm-up of the sensor; beyond it is faulty",
                                      "cells take 10 min to 30 min (from memory: data sheet of the "
                                      "cell, warm-up time: check against the source)"),
      choice<g, &T::transmitter_scale>("oxygen.transmitter_scale", loop_scale_names,
                                       "scale of the 4-20 mA transmitter", "as set there"),
      number<g, &T::transmitter_low>("oxygen.transmitter_low", "ppm", 0, 100'000, "oxygen at 4 mA",
                                     "as set at the transmitter"),
      number<g, &T::transmitter_high>("oxygen.transmitter_high", "ppm", 1, 1'000'000,
                                      "oxygen at 20 mA",
                                      "as set at the transmitter; must include air, or the reading "
                                      "cannot be checked with the door open"),
      integer<g, &T::loop_hold_time>(
          "oxygen.loop_hold_time", "ms", 0, 60'000,
          "the last value stands this long while the current is undefined",
          "NAMUR NE 43: between the measuring and the failure range, 4 s"),
      integer<g, &T::lag>("oxygen.lag", "ms", 0, 600'000,
                          "transport of gas to the sensor and its own response",
                          "10 s to 30 s to 90 % with a sample line (from memory: data sheet of the "
                          "analyser, response time: check against the source), doubled"),
      integer<g, &T::air_open_time>("oxygen.air_open_time", "ms", 1'000, hour_ms,
                                    "door open this long: the reading must be air",
                                    "common practice; exchange of air plus sensor response"),
      number<g, &T::air_low>("oxygen.air_low", "ppm", 150'000, 209'000,
                             "lowest reading taken for air",
                             "humid air at 25 degC, 50 % humidity holds 206 000 ppm"),
      number<g, &T::air_high>("oxygen.air_high", "ppm", 210'000, 300'000,
                              "highest reading taken for air", "dry air holds 209 500 ppm"),
      boolean<g, &T::air_before_start>(
          "oxygen.air_before_start", "a start needs a reading of air since the last unloading",
          "common practice, no source: a monitor that sticks low is found before heat. false only "
          "for an oven that is kept closed between cycles"),
      number<g, &T::mixing_factor>(
          "oxygen.mixing_factor", "1", 1, 20,
          "a purge may take this many times the stirred volumes",
          "industrial ventilation practice: 3 to 10 (from memory: ACGIH Industrial Ventilation, "
          "dilution ventilation, page unknown: check against the source)"),
      number<g, &T::fall_floor>("oxygen.fall_floor", "ppm", 10, 50'000,
                                "below this the reading need not fall further",
                                "the floor by leak and gas purity lies below"),
      number<g, &T::lead_factor>("oxygen.lead_factor", "1", 1, 20,
                                 "a purge may be this many times as fast as if stirred",
                                 "common practice; piston flow leads stirred flow at the exhaust"),
      integer<g, &T::early_time>("oxygen.early_time", "ms", 0, 600'000,
                                 "reading lower than that for this long is implausible",
                                 "common practice"),
      integer<g, &T::frozen_time>("oxygen.frozen_time", "ms", 10'000, hour_ms,
                                  "no change at all this long while it must change is a fault",
                                  "common practice; above the transport and response time"),
      number<g, &T::frozen_cell_change>("oxygen.frozen_cell_change", "K", 0.5F, 100,
                                        "a cell whose temperature changes by this must change its "
                                        "voltage",
                                        "Nernst equation: 0.1 mV/K at 1000 ppm"),
      integer<g, &T::frozen_band>(
          "oxygen.frozen_band", "1", 0, 1'000,
          "counts of the converter within which a reading counts as unchanged",
          "common practice; above the noise of the converter, far below what a purge changes"),
  };
}();

inline constexpr auto programme_table = [] {
  constexpr auto g = &Settings::programme;
  using T = Programme;
  return std::array{
      integer<g, &T::segment_count>("programme.segment_count", "1", 1, max_segments,
                                    "segments in use", "1 is ramp, soak, done"),
      number<g, &T::soak_band>("programme.soak_band", "K", 0.5F, 50,
                               "soak time counts while the chamber is this near to the target",
                               "furnace classes by uniformity run from 3 K to 28 K"),
      number<g, &T::ramp_lag_limit>("programme.ramp_lag_limit", "K", 0, 200,
                                    "the ramp waits while the chamber is further behind; 0 never",
                                    "common practice"),
      integer<g, &T::heating_timeout>("programme.heating_timeout", "ms", 60'000, 7 * day_ms,
                                      "longest time of ramps and soaks; beyond is a fault",
                                      "common practice: one and a half times the programme"),
  };
}();

// Keys need storage of their own, so they are written out.
inline constexpr std::array<std::array<std::string_view, 3>, max_segments> segment_keys{{
    {"programme.segment_1.target", "programme.segment_1.ramp", "programme.segment_1.soak"},
    {"programme.segment_2.target", "programme.segment_2.ramp", "programme.segment_2.soak"},
    {"programme.segment_3.target", "programme.segment_3.ramp", "programme.segment_3.soak"},
    {"programme.segment_4.target", "programme.segment_4.ramp", "programme.segment_4.soak"},
    {"programme.segment_5.target", "programme.segment_5.ramp", "programme.segment_5.soak"},
    {"programme.segment_6.target", "programme.segment_6.ramp", "programme.segment_6.soak"},
    {"programme.segment_7.target", "programme.segment_7.ramp", "programme.segment_7.soak"},
    {"programme.segment_8.target", "programme.segment_8.ramp", "programme.segment_8.soak"},
}};

template <std::size_t I>
constexpr std::array<Descriptor, 3> segment_table() {
  return {
      describe<SegmentField<I, &Segment::target>>(segment_keys[I][0], "degC", Value::number(30),
                                                  Value::number(1'100), "soak temperature",
                                                  "set by the load"),
      describe<SegmentField<I, &Segment::ramp_K_per_min>>(
          segment_keys[I][1], "K/min", Value::number(0.1F), Value::number(100),
          "rate of the setpoint towards the target", "set by the load and the oven's power"),
      describe<SegmentField<I, &Segment::soak>>(segment_keys[I][2], "ms", Value::integer(0),
                                                Value::integer(4 * day_ms),
                                                "time within the soak band", "set by the load"),
  };
}

inline constexpr auto segments_table = []<std::size_t... I>(std::index_sequence<I...>) {
  std::array<Descriptor, 3 * max_segments> all{};
  std::size_t next = 0;
  const auto append = [&](const auto& segment) {
    for (const Descriptor& entry : segment) all[next++] = entry;
  };
  (append(segment_table<I>()), ...);
  return all;
}
(std::make_index_sequence<max_segments>{});

inline constexpr auto control_table = [] {
  constexpr auto g = &Settings::control;
  using T = Control;
  return std::array{
      number<g, &T::gain_per_K>("control.gain", "1/K", 0.0001F, 10,
                                "controller gain, share of full drive per K",
                                "tuned at commissioning; the proportional band is its inverse"),
      integer<g, &T::integral_time>("control.integral_time", "ms", 1'000, 10 * hour_ms,
                                    "integral time of the ISA form", "tuned at commissioning"),
      integer<g, &T::derivative_time>("control.derivative_time", "ms", 0, hour_ms,
                                      "derivative time of the ISA form, on the measurement; 0 off",
                                      "tuned at commissioning; a quarter of the integral time at "
                                      "most (Astrom and Hagglund, PID Controllers, 1995)"),
      integer<g, &T::derivative_filter>(
          "control.derivative_filter", "ms", 0, hour_ms, "time constant of the derivative's filter",
          "a half to a twentieth of the derivative time (Astrom and Hagglund, 1995, N = 2 to 20)"),
      integer<g, &T::max_drive_permille>("control.max_drive", "permille", 1, 1'000,
                                         "largest heater drive",
                                         "as the elements and the supply allow"),
      integer<g, &T::drive_rate_permille_per_s>(
          "control.drive_rate", "permille/s", 1, 100'000,
          "fastest increase of the heater drive; decrease is at once",
          "common practice; spares elements and supply"),
  };
}();

inline constexpr auto scan_table = [] {
  constexpr auto g = &Settings::scan;
  using T = Scan;
  return std::array{
      integer<g, &T::period>("scan.period", "ms", 1, 100, "time from scan to scan",
                             "every response time contains it"),
      integer<g, &T::overrun_limit>("scan.overrun_limit", "ms", 2, 500,
                                    "a scan later than this is an overrun",
                                    "common practice; well within the door's response time"),
      integer<g, &T::clock_jump>("scan.clock_jump", "ms", 10, 60'000,
                                 "a step of the clock beyond this is a jump",
                                 "common practice; no scan can be so late"),
      integer<g, &T::conversion_period>(
          "scan.conversion_period", "ms", 1, 10'000,
          "time the converter takes for all channels, by its own oscillator",
          "data sheet of the board; the converter is the second time base"),
      number<g, &T::clock_tolerance>(
          "scan.clock_tolerance", "1", 0.01F, 0.9F,
          "the clock may differ from the converter's time by this share",
          "common practice, no source; purge and soak are timed by the clock"),
      integer<g, &T::converter_stale>("scan.converter_stale", "ms", 20, 10'000,
                                      "analogue readings are stale without a conversion for this "
                                      "long",
                                      "common practice: several conversion times"),
  };
}();

}  // namespace detail
}  // namespace ovenproof::settings

#pragma once
#include <array>
#include <cstddef>

#include "sim/plant/faults.hpp"
#include "sim/plant/network.hpp"
#include "sim/plant/parameters.hpp"
#include "sim/plant/signals.hpp"

/// Sensors: switches every scan, everything with an emf or a current every 100 ms, which is about
/// what converters take for one conversion (common practice, no source).
namespace ovenproof::plant {

/// Interval of the slow sensors, s.
inline constexpr double conversion_s = 0.1;

/// Pure transport delay over a ring of samples.
class TransportDelay {
 public:
  /// Delay in conversions; the line starts full of `value`.
  TransportDelay(double delay_s, double value);

  /// Takes this conversion's value and gives the one a delay ago, linear between samples.
  double pass(double value);

 private:
  static constexpr int slots = 64;
  std::array<double, slots> ring_{};
  int stride_;  ///< conversions between samples, so that any delay fits the ring
  int delay_;   ///< in conversions
  int newest_ = 0;
  int since_ = 0;  ///< conversions since the newest sample
};

/// Filter factors for one scan length: the share of a difference made up in one scan or one
/// conversion.
struct SensorPaces {
  double flow = 1, fan = 1;  // per scan
  double te_a = 1, te_b = 1, limiter = 1, terminal = 1, cell_heat = 1,
         cell_gas = 1;  // per conversion
};
SensorPaces sensor_paces(const Parameters& parameters, double scan_s);

/// What sensors remember.
struct SensorState {
  SensorState(const Parameters& parameters, double ambient_K);

  double purge_mol_s = 0, process_mol_s = 0, fan_airflow = 0;  // as the switches feel them
  double te_a_K, te_b_K, limiter_K, terminal_K, cell_K;
  double te_a_met_K, te_b_met_K, limiter_met_K;  // what they met at the last conversion
  double cell_oxygen = air_oxygen;
  TransportDelay sample;
  bool limiter_tripped = false;
};

/// Flow, airflow, end and mirror switches; `purge_mol_s` and `process_mol_s` are actual flows.
void read_switches(const Parameters& parameters, const SensorPaces& pace,
                   const Positions& positions, double purge_mol_s, double process_mol_s,
                   double jacket_kg_per_s, SensorState& sensors, Field& field);

/// Pressure switch of the gas supply.
void read_supply(const Parameters& parameters, const Faults& faults,
                 const Surroundings& surroundings, Field& field);

/// One conversion of thermocouples, limiter and oxygen measurement.
void convert(const Parameters& parameters, const Faults& faults, const SensorPaces& pace,
             const Constants& constants, const Coefficients& coefficients, const StateVector& y,
             bool limiter_reset, SensorState& sensors, Field& field);

/// Oxygen mole fraction at the exhaust neck: what leaves, or the stirred zone if nothing does.
double exhaust_oxygen(const Constants& constants, const Coefficients& coefficients,
                      const Algebra& algebra);

}  // namespace ovenproof::plant

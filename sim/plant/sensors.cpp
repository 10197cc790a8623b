#include "sim/plant/sensors.hpp"

#include <algorithm>
#include <cmath>

#include "sim/plant/oxygen_cell.hpp"
#include "sim/plant/portable_math.hpp"
#include "sim/plant/thermocouple_emf.hpp"

namespace ovenproof::plant {
namespace {

double filter_share(double interval_s, double time_constant_s) {
  return time_constant_s > 0.0 ? 1.0 - portable::exp(-interval_s / time_constant_s) : 1.0;
}

double mix(double a, double b, double share_of_b) { return a + (b - a) * share_of_b; }

/// First-order lag over one conversion, input taken as its mean over the conversion.
void lag(double& felt, double& met, double now, double share) {
  felt += share * (0.5 * (met + now) - felt);
  met = now;
}

/// Oxygen that is left when combustible gas has burned at the hot cell. What is left when all is
/// burned is far below what any oven needs.
double after_burning(double oxygen, double combustibles) {
  constexpr double most_taken = 0.01;
  constexpr double left = 1e-9;
  if (combustibles <= 0.0) return oxygen;
  return std::max(std::min(left, oxygen), oxygen - most_taken * combustibles);
}

/// Makes at or above `make`, breaks below `release`.
void hysteresis(bool& contact, double value, double make, double release) {
  contact = value >= (contact ? release : make);
}

}  // namespace

TransportDelay::TransportDelay(double delay_s, double value)
    : stride_(1), delay_(static_cast<int>(delay_s / conversion_s + 0.5)) {
  ring_.fill(value);
  while (delay_ / stride_ + 2 > slots) ++stride_;
}

double TransportDelay::pass(double value) {
  if (++since_ >= stride_) {
    since_ = 0;
    newest_ = (newest_ + 1) % slots;
    ring_[static_cast<std::size_t>(newest_)] = value;
  }
  const int age = std::max(0, delay_ - since_);  // of the wanted value against the newest sample
  const int whole = age / stride_;
  const auto slot = [this](int back) {
    return ring_[static_cast<std::size_t>((newest_ - back + 2 * slots) % slots)];
  };
  const double share = static_cast<double>(age % stride_) / stride_;
  return mix(slot(whole), slot(whole + 1), share);
}

SensorPaces sensor_paces(const Parameters& p, double scan_s) {
  SensorPaces pace;
  pace.flow = filter_share(scan_s, p.switches.flow_lag_s);
  pace.fan = filter_share(scan_s, p.fan.proof_lag_s);
  pace.te_a = filter_share(conversion_s, p.thermocouples.a_time_constant_s);
  pace.te_b = filter_share(conversion_s, p.thermocouples.b_time_constant_s);
  pace.limiter = filter_share(conversion_s, p.limiter.time_constant_s);
  pace.terminal = filter_share(conversion_s, p.thermocouples.terminal_time_constant_s);
  pace.cell_heat = filter_share(conversion_s, p.oxygen.warm_up_time_constant_s);
  pace.cell_gas = filter_share(conversion_s, p.oxygen.cell_lag_s);
  return pace;
}

SensorState::SensorState(const Parameters& p, double ambient_K)
    : te_a_K(ambient_K),
      te_b_K(ambient_K),
      limiter_K(ambient_K),
      terminal_K(ambient_K),
      cell_K(ambient_K),
      te_a_met_K(ambient_K),
      te_b_met_K(ambient_K),
      limiter_met_K(ambient_K),
      sample(p.oxygen.transport_delay_s, air_oxygen) {}

void read_switches(const Parameters& p, const SensorPaces& pace, const Positions& at,
                   double purge_mol_s, double process_mol_s, double jacket_kg_per_s, SensorState& s,
                   Field& field) {
  s.purge_mol_s += pace.flow * (purge_mol_s - s.purge_mol_s);
  s.process_mol_s += pace.flow * (process_mol_s - s.process_mol_s);
  s.fan_airflow += pace.fan * (at.fan - s.fan_airflow);

  const double make = p.switches.flow_fraction, release = p.switches.flow_release();
  const double purge = p.supply.purge_L_per_min * mol_per_s_in_L_per_min;
  const double process = p.supply.process_L_per_min * mol_per_s_in_L_per_min;
  hysteresis(field.purge_flow, s.purge_mol_s, make * purge, release * purge);
  hysteresis(field.process_flow, s.process_mol_s, make * process, release * process);
  hysteresis(field.fan_airflow, s.fan_airflow, p.fan.proof_fraction, p.fan.proof_fraction - 0.05);
  const double jacket = p.cooling.airflow_L_per_s * 1e-3 * air_density;
  hysteresis(field.blower_airflow, jacket_kg_per_s, p.cooling.blower_proof_fraction * jacket,
             (p.cooling.blower_proof_fraction - 0.04) * jacket);

  field.door_contact_1 = at.door <= p.door.contact_1_opening;
  field.door_contact_2 = at.door <= p.door.contact_2_opening;
  field.damper_at_open = at.damper >= 1.0 - p.cooling.end_switch_margin;
  field.damper_at_closed = at.damper <= p.cooling.end_switch_margin;
}

void read_supply(const Parameters& p, const Faults& faults, const Surroundings& around,
                 Field& field) {
  hysteresis(field.supply_ok, around.supply_kPa * (1.0 - faults[Fault::supply_failing]),
             p.switches.supply_kPa, p.switches.supply_kPa - p.switches.supply_hysteresis_kPa);
}

double exhaust_oxygen(const Constants& c, const Coefficients& k, const Algebra& a) {
  if (!(a.out > 0.0)) return a.stirred;
  const double bypass = k.bypass * std::min(a.fresh, a.out) / a.out;
  return mix(a.stirred, c.supply_oxygen, bypass);
}

void convert(const Parameters& p, const Faults& faults, const SensorPaces& pace, const Constants& c,
             const Coefficients& k, const StateVector& y, bool limiter_reset, SensorState& s,
             Field& field) {
  const Algebra a = algebra(c, k, y);
  const double casing_K = y[at::casing];

  lag(s.te_a_K, s.te_a_met_K, mix(a.gas_K, casing_K, faults[Fault::thermocouple_a_slipped]),
      pace.te_a);
  lag(s.te_b_K, s.te_b_met_K, mix(a.gas_K, casing_K, faults[Fault::thermocouple_b_slipped]),
      pace.te_b);
  s.terminal_K +=
      pace.terminal *
      (mix(c.ambient_K, casing_K, p.thermocouples.terminal_casing_share) - s.terminal_K);
  field.terminal_degC = to_degC(s.terminal_K);
  const ThermocoupleType type = p.thermocouples.type;
  const double terminal_mV = emf_mV(type, field.terminal_degC);
  field.thermocouple_a_mV = emf_mV(type, to_degC(s.te_a_K)) - terminal_mV;
  field.thermocouple_b_mV = emf_mV(type, to_degC(s.te_b_K)) - terminal_mV;

  const double chamber_K = mix(a.gas_K, y[at::element], p.limiter.element_share);
  lag(s.limiter_K, s.limiter_met_K,
      mix(chamber_K, casing_K, faults[Fault::limiter_thermocouple_slipped]), pace.limiter);
  const double set_point_K = to_K(p.limiter.set_point_degC);
  if (s.limiter_K >= set_point_K && !faults.has(Fault::limiter_failed)) s.limiter_tripped = true;
  if (limiter_reset && s.limiter_K < set_point_K - p.limiter.reset_below_K) {
    s.limiter_tripped = false;
  }
  field.limiter_healthy = !s.limiter_tripped;

  const double heated_K = faults.has(Fault::oxygen_cell_heater_failed)
                              ? c.ambient_K
                              : to_K(p.oxygen.cell_temperature_degC);
  s.cell_K += pace.cell_heat * (heated_K - s.cell_K);
  const double sampled = s.sample.pass(exhaust_oxygen(c, k, a));
  s.cell_oxygen +=
      pace.cell_gas * (1.0 - faults[Fault::oxygen_sample_blocked]) * (sampled - s.cell_oxygen);
  const double arrives = mix(s.cell_oxygen, y[at::room_oxygen], faults[Fault::oxygen_cell_cracked]);
  const double seen = after_burning(arrives, faults[Fault::oxygen_combustibles]);
  field.oxygen_cell_mV = loaded_cell_mV(p.oxygen, s.cell_K, seen);
  field.oxygen_cell_tc_mV =
      emf_type_k_mV(to_degC(s.cell_K)) -
      (type == ThermocoupleType::k ? terminal_mV : emf_type_k_mV(field.terminal_degC));
  // A transmitter knows its own cell's temperature and says so when it is not there.
  const bool cell_warm = s.cell_K >= to_K(p.oxygen.cell_temperature_degC) - 30.0;
  field.oxygen_transmitter_mA =
      cell_warm ? transmitter_mA(p.oxygen, seen) : p.oxygen.transmitter_fault_mA;
}

}  // namespace ovenproof::plant

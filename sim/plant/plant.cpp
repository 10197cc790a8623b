#include "sim/plant/plant.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>

namespace ovenproof::plant {
namespace {

/// Everything switches, contactors and ramps depend on, in one word.
std::uint32_t demand_bits(const Actuation& a, const Operator& hands, const Field& field) {
  return static_cast<std::uint32_t>(a.k1) | static_cast<std::uint32_t>(a.k2) << 1 |
         static_cast<std::uint32_t>(a.fan) << 2 | static_cast<std::uint32_t>(a.purge_valve) << 3 |
         static_cast<std::uint32_t>(a.process_valve) << 4 |
         static_cast<std::uint32_t>(a.damper_open) << 5 |
         static_cast<std::uint32_t>(a.blower) << 6 |
         static_cast<std::uint32_t>(hands.door_open) << 7 |
         static_cast<std::uint32_t>(hands.estop_pressed) << 8 |
         static_cast<std::uint32_t>(field.limiter_healthy) << 9 |
         static_cast<std::uint32_t>(field.door_contact_1) << 10;
}

Positions halfway(const Positions& a, const Positions& b) {
  return {0.5 * (a.door + b.door),
          0.5 * (a.fan + b.fan),
          0.5 * (a.purge_valve + b.purge_valve),
          0.5 * (a.process_valve + b.process_valve),
          0.5 * (a.damper + b.damper),
          0.5 * (a.blower + b.blower),
          0.5 * (a.door_gas_valve + b.door_gas_valve)};
}

/// Scans in one conversion of the sensors; throws if they do not fit.
int scans_per_conversion(double scan_s) {
  const double scans = conversion_s / scan_s;
  if (!(scan_s > 0.0 && scan_s <= 0.0100001 && scans < 1e6) ||
      std::abs(scans - std::round(scans)) > 1e-6) {
    throw std::invalid_argument("plant scan of " + std::to_string(scan_s) +
                                " s: expected at most 0.01 s and a whole fraction of 0.1 s");
  }
  return static_cast<int>(std::round(scans));
}

}  // namespace

State::State(const Parameters& p, const Surroundings& around, const InitialCondition& initial)
    : sensors(p, to_K(around.ambient_degC)) {
  const Constants c = constants(p, Faults{}, around);
  const double chamber_K = to_K(initial.chamber_degC);
  // Steady heat flow through the insulation in series.
  const double W = (chamber_K - c.ambient_K) / (1.0 / c.wall_inner + 1.0 / c.inner_outer +
                                                1.0 / c.outer_casing + 1.0 / c.casing_room);
  y[at::element] = y[at::wall] = y[at::load] = y[at::load_inside] = chamber_K;
  y[at::insulation_inner] = chamber_K - W / c.wall_inner;
  y[at::insulation_outer] = y[at::insulation_inner] - W / c.inner_outer;
  y[at::casing] = y[at::insulation_outer] - W / c.outer_casing;
  const double mol = atmosphere_Pa / (c.R_over_V * chamber_K);
  y[at::gas] = mol;
  y[at::gas_energy] = (mol * c.cv + c.baffles_J_per_K) * chamber_K;
  y[at::oxygen_stirred] = mol * initial.oxygen * (1.0 - c.pockets);
  y[at::oxygen_pockets] = mol * initial.oxygen * c.pockets;
  y[at::room_oxygen] = air_oxygen;

  sensors.te_a_K = sensors.te_b_K = sensors.limiter_K = chamber_K;
  sensors.te_a_met_K = sensors.te_b_met_K = sensors.limiter_met_K = chamber_K;
  sensors.cell_oxygen = initial.oxygen;
  sensors.sample = TransportDelay(p.oxygen.transport_delay_s, initial.oxygen);
  if (initial.oxygen_cell_warm) sensors.cell_K = to_K(p.oxygen.cell_temperature_degC);
  sensors.terminal_K =
      c.ambient_K + (y[at::casing] - c.ambient_K) * p.thermocouples.terminal_casing_share;
}

Plant::Plant(const Parameters& parameters, const Surroundings& surroundings,
             const InitialCondition& initial, const Timing& timing)
    : parameters_(parameters),
      surroundings_(surroundings),
      timing_(timing),
      scans_per_conversion_(scans_per_conversion(timing.scan_s)),
      state_(parameters, surroundings, initial) {
  refresh();
  const double rate = fastest_rate_ever_per_s(parameters_, constants_);
  if (!can_be_stepped(rate, timing_.scan_s)) {
    throw std::invalid_argument(
        "plant relaxes at " + std::to_string(rate) + " per s: too quick for a scan of " +
        std::to_string(timing_.scan_s) + " s; a heat capacity is too small for its conductances");
  }
  const Algebra a = algebra(constants_, coefficients_, state_.y);
  read_switches(parameters_, sensor_paces_, state_.positions, a.purge, a.process,
                coefficients_.jacket.airflow_kg_per_s(state_.y[at::wall]), state_.sensors,
                state_.field);
  convert(parameters_, faults_, SensorPaces{0, 0, 0, 0, 0, 0, 0, 0}, constants_, coefficients_,
          state_.y, false, state_.sensors, state_.field);
}

void Plant::refresh() {
  constants_ = constants(parameters_, faults_, surroundings_);
  coefficients_ = coefficients(parameters_, state_.positions, jacket_at(state_.positions));
  paces_ = paces(parameters_, faults_, timing_.scan_s);
  sensor_paces_ = sensor_paces(parameters_, timing_.scan_s);
  read_supply(parameters_, faults_, surroundings_, state_.field);

  // The longest whole fraction of a conversion that accuracy allows.
  const double longest_s =
      std::min(timing_.longest_s, 0.7 / fastest_rate_per_s(parameters_, constants_));
  scans_per_integration_ = scans_per_conversion_;
  while (scans_per_integration_ > 1 &&
         (scans_per_conversion_ % scans_per_integration_ != 0 ||
          scans_per_integration_ * timing_.scan_s > longest_s * (1.0 + 1e-9))) {
    --scans_per_integration_;
  }
  dirty_ = false;
  settled_ = false;
}

JacketSegment Plant::jacket_at(const Positions& positions) const {
  return jacket_segment(parameters_.cooling, positions, state_.y[at::wall], constants_.ambient_K);
}

/// Brings heat and gas up to now; `coefficients_` are those at the start of what is pending.
void Plant::integrate(const Coefficients& middle, const Coefficients& end) {
  State& s = state_;
  const double step_s = s.scans_pending * timing_.scan_s;
  const BookVector flows = runge_kutta_4(constants_, coefficients_, middle, end,
                                         s.pending_J / step_s, step_s, s.y, s.books);
  s.purge_mol_s = flows[book::purge_mol];
  s.process_mol_s = flows[book::process_mol];
  s.heater_J += s.pending_J;
  s.pending_J = 0.0;
  s.scans_pending = 0;
}

void Plant::set_faults(const Faults& faults) {
  for (std::size_t i = 0; i < fault_count; ++i) {
    set_fault(static_cast<Fault>(i), faults.severity[i]);
  }
}

void Plant::set_fault(Fault fault, double severity) {
  const double held = std::min(1.0, std::max(0.0, severity));
  if (faults_[fault] == held) return;
  faults_[fault] = held;
  dirty_ = true;
}

bool Plant::place_load(double mass_kg, double temperature_degC) {
  if (!door_passable()) return false;
  parameters_.load.mass_kg = std::max(0.0, mass_kg);
  state_.y[at::load] = state_.y[at::load_inside] = to_K(temperature_degC);
  dirty_ = true;
  return true;
}

void Plant::step(const Actuation& driven, const Operator& hands, const Surroundings& surroundings) {
  State& s = state_;
  s.fed = feed(s.k0, driven, hands, parameters_, faults_);
  const Actuation& actuation = s.fed;
  const std::uint32_t demand = demand_bits(actuation, hands, s.field);
  const bool other_surroundings = !(surroundings == surroundings_);
  if (dirty_ || other_surroundings || demand != last_demand_) {
    // What is pending happened under the old conditions.
    if (s.scans_pending > 0) integrate(coefficients_, coefficients_);
    surroundings_ = surroundings;
    if (dirty_ || other_surroundings) refresh();
    settled_ = false;
    last_demand_ = demand;
  }

  // Contacts and strokes. Once all have arrived nothing moves until a demand changes.
  Positions next = s.positions;
  const bool was_settled = settled_;
  if (!settled_) {
    const bool chain =
        !faults_.has(Fault::chain_open) &&
        chain_closed(hands.estop_pressed && !faults_.has(Fault::chain_estop_bridged),
                     !s.field.limiter_healthy && !faults_.has(Fault::chain_limiter_bridged),
                     s.field.door_contact_1 || faults_.has(Fault::chain_door_bridged));
    follow_coil(s.k1, actuation.k1 && chain, faults_.has(Fault::k1_welded),
                faults_.has(Fault::k1_not_pulling), paces_);
    follow_coil(s.k2, actuation.k2 && chain, faults_.has(Fault::k2_welded),
                faults_.has(Fault::k2_not_pulling), paces_);
    s.k1.a_pole_closed = s.k1.closed || (s.k1.a_pole_closed && faults_.has(Fault::k1_pole_welded));
    s.k2.a_pole_closed = s.k2.closed || (s.k2.a_pole_closed && faults_.has(Fault::k2_pole_welded));
    next = move(s.positions, actuation, hands, parameters_.cooling.fitted, faults_, paces_);
    settled_ = next == s.positions && s.k1.waited_scans == 0 && s.k2.waited_scans == 0;
    s.field.k1_mirror = !s.k1.a_pole_closed;
    s.field.k2_mirror = !s.k2.a_pole_closed;
    s.field.estop_healthy = !hands.estop_pressed;
  }

  const double drive = std::max(std::min(1.0, std::max(0.0, actuation.heater_drive)),
                                faults_[Fault::heater_switch_shorted]);
  s.heater_W = conducted(s.k1, s.k2) * drive * parameters_.heater.power_W *
               (1.0 - faults_[Fault::element_broken]);
  s.pending_J += s.heater_W * timing_.scan_s;
  ++s.scans_pending;
  ++s.scans;
  if (++s.scans_into_conversion == scans_per_conversion_) s.scans_into_conversion = 0;

  if (!(next == s.positions)) {
    const Positions midway = halfway(s.positions, next);
    const bool jacket_moves =
        next.damper != s.positions.damper || next.blower != s.positions.blower;
    const Coefficients middle =
        coefficients(parameters_, midway, jacket_moves ? jacket_at(midway) : coefficients_.jacket);
    const Coefficients end =
        coefficients(parameters_, next, jacket_moves ? jacket_at(next) : coefficients_.jacket);
    integrate(middle, end);
    coefficients_ = end;
    s.positions = next;
  } else if (!was_settled || s.positions.door > 0.0 ||
             s.scans_into_conversion % scans_per_integration_ == 0 || relieves(constants_, s.y)) {
    integrate(coefficients_, coefficients_);
  }
  if (!coefficients_.jacket.holds(s.y[at::wall])) coefficients_.jacket = jacket_at(s.positions);

  read_switches(parameters_, sensor_paces_, s.positions, s.purge_mol_s, s.process_mol_s,
                coefficients_.jacket.airflow_kg_per_s(s.y[at::wall]), s.sensors, s.field);
  if (faults_.has(Fault::door_contact_1_defeated)) s.field.door_contact_1 = true;
  if (s.scans_into_conversion == 0) {
    convert(parameters_, faults_, sensor_paces_, constants_, coefficients_, s.y,
            hands.limiter_reset, s.sensors, s.field);
  }
}

Truth Plant::truth() const {
  const State& s = state_;
  const Constants& c = constants_;
  const Coefficients& k = coefficients_;
  const Algebra a = algebra(c, k, s.y);
  Truth t;
  t.time_s = static_cast<double>(s.scans) * timing_.scan_s;
  t.element_degC = to_degC(s.y[at::element]);
  t.gas_degC = to_degC(a.gas_K);
  t.wall_degC = to_degC(s.y[at::wall]);
  t.load_degC = to_degC(s.y[at::load]);
  t.load_inside_degC = to_degC(s.y[at::load_inside]);
  t.handled_degC = std::max({t.wall_degC, t.load_degC, t.load_inside_degC});
  t.insulation_inner_degC = to_degC(s.y[at::insulation_inner]);
  t.insulation_outer_degC = to_degC(s.y[at::insulation_outer]);
  t.casing_degC = to_degC(s.y[at::casing]);

  t.oxygen = (s.y[at::oxygen_stirred] + s.y[at::oxygen_pockets]) / s.y[at::gas];
  t.oxygen_stirred = a.stirred;
  t.oxygen_pockets = c.pockets > 0.0 ? a.pocket : a.stirred;
  t.oxygen_exhaust = exhaust_oxygen(c, k, a);
  t.room_oxygen = s.y[at::room_oxygen];
  t.pressure_Pa = a.pressure_Pa;

  t.purge_L_per_min = a.purge / mol_per_s_in_L_per_min;
  t.process_L_per_min = a.process / mol_per_s_in_L_per_min;
  t.blanket_L_per_min = a.blanket / mol_per_s_in_L_per_min;
  t.gas_L_per_min = (a.purge + a.process + a.blanket) / mol_per_s_in_L_per_min;
  t.exhaust_L_per_min = (a.out - a.back) / mol_per_s_in_L_per_min;
  t.relief_L_per_min = (a.relief - a.relief_back) / mol_per_s_in_L_per_min;
  t.vacuum_relief_L_per_min = a.vacuum_relief / mol_per_s_in_L_per_min;
  t.leak_L_per_min = (a.seal_out - a.seal_in) / mol_per_s_in_L_per_min;

  t.fed = s.fed;
  t.k1_closed = s.k1.a_pole_closed;
  t.k2_closed = s.k2.a_pole_closed;
  t.heater_W = s.heater_W;
  t.fan_airflow = s.positions.fan;
  t.door_opening = s.positions.door;
  t.purge_valve = s.positions.purge_valve;
  t.process_valve = s.positions.process_valve;
  t.door_gas_valve = s.positions.door_gas_valve;
  t.damper_opening = s.positions.damper;
  t.blower_speed = s.positions.blower;
  t.jacket_kg_per_s = k.jacket.airflow_kg_per_s(s.y[at::wall]);
  t.jacket_W = a.jacket_W;

  t.gas_used_L =
      (s.books[book::purge_mol] + s.books[book::process_mol] + s.books[book::blanket_mol]) /
      mol_per_L;
  t.energy_kWh = (s.heater_J + s.pending_J) / 3.6e6;
  return t;
}

double Plant::stored_energy_J() const {
  const Constants& c = constants_;
  const StateVector& y = state_.y;
  return y[at::element] / c.inverse_element + y[at::wall] / c.inverse_wall +
         y[at::load] / c.inverse_load + y[at::load_inside] / c.inverse_inside +
         y[at::insulation_inner] / c.inverse_inner + y[at::insulation_outer] / c.inverse_outer +
         y[at::casing] / c.inverse_casing + y[at::gas_energy];
}

}  // namespace ovenproof::plant

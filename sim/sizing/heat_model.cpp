#include "sim/sizing/heat_model.hpp"

#include <algorithm>

#include "sim/formulas/gas.hpp"
#include "sim/formulas/heat.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/plant/constants.hpp"

namespace ovenproof::sizing {

using machine::ambient_degC;
using machine::Machine;
using plant::Parameters;

namespace {

constexpr double month_s = 30.0 * 86'400.0;

/// Forced convection of argon against nitrogen: h ~ k^0.6 cp^0.4 rho^0.8 mu^-0.4 (Dittus-Boelter,
/// properties of nitrogen and argon
/// from memory: Incropera Fundamentals of Heat and Mass Transfer, table A.4: check against the
/// source).
double convection_share(const Parameters& p) {
  return p.supply.gas == plant::Gas::argon ? 0.74 : 1.0;
}

double most_W(const Machine& m) {
  return m.plant.heater.power_W * m.settings.control.max_drive_permille / 1000.0;
}

/// Power that holds a temperature, W; negative where the fan alone would be too much.
double holding_W(const Parameters& p, double degC) {
  return (machine::loss_W_per_K(p) + machine::process_gas_W_per_K(p)) * (degC - ambient_degC) -
         machine::fan_W(p, degC);
}

double fourth_power_of_K(double degC) {
  const double square = plant::to_K(degC) * plant::to_K(degC);
  return square * square;
}

/// Wall with its insulation on one side, all that hangs in the gas on the other; the gas between
/// them weighs nothing.
class TwoLumps {
 public:
  TwoLumps(const Parameters& p, bool jacket)
      : p_(p),
        wall_J_per_K_(p.wall.heat_capacity_J_per_K + machine::insulation_capacity_J_per_K(p)),
        load_J_per_K_(machine::load_capacity_J_per_K(p)),
        gas_wall_(p.wall.convection_fan_W_per_K * convection_share(p)),
        stream_(machine::process_gas_W_per_K(p)),
        loss_(machine::loss_W_per_K(p)),
        jacket_(jacket ? jacket_of(p.cooling).W_per_K() : 0.0) {
    // The mean of the load lies behind its outside by what its inside has to pass on.
    const double load = p.load.mass_kg * p.load.specific_heat_J_per_kgK;
    const double inside = p.load.inside_fraction * load / load_J_per_K_;
    const double resistance = 1.0 / (p.load.convection_fan_W_per_K * convection_share(p)) +
                              inside * inside / p.load.inside_conductance_W_per_K;
    gas_load_ = 1.0 / resistance;
  }

  struct State {
    double wall, load;  // degC
  };

  [[nodiscard]] double gas_degC(State s) const {
    return (gas_load_ * s.load + gas_wall_ * s.wall + stream_ * ambient_degC +
            machine::fan_W(p_, s.wall)) /
           (gas_load_ + gas_wall_ + stream_);
  }
  [[nodiscard]] State rates(State s) const {
    const double gas = gas_degC(s);
    const double radiated = plant::stefan_boltzmann * p_.load.wall_radiation_m2 *
                            (fourth_power_of_K(s.load) - fourth_power_of_K(s.wall));
    return {(gas_wall_ * (gas - s.wall) + radiated - (loss_ + jacket_) * (s.wall - ambient_degC)) /
                wall_J_per_K_,
            (gas_load_ * (gas - s.load) - radiated) / load_J_per_K_};
  }
  /// Classical Runge-Kutta, fourth order.
  [[nodiscard]] State after(State s, double h) const {
    const auto moved = [&s](State d, double by) {
      return State{s.wall + by * d.wall, s.load + by * d.load};
    };
    const State a = rates(s);
    const State b = rates(moved(a, h / 2));
    const State c = rates(moved(b, h / 2));
    const State d = rates(moved(c, h));
    return {s.wall + h / 6 * (a.wall + 2 * b.wall + 2 * c.wall + d.wall),
            s.load + h / 6 * (a.load + 2 * b.load + 2 * c.load + d.load)};
  }
  /// A step well inside what the quicker lump allows at that temperature.
  [[nodiscard]] double step_s(double degC) const {
    const double K = plant::to_K(degC);
    const double radiation = 4.0 * plant::stefan_boltzmann * p_.load.wall_radiation_m2 * K * K * K;
    const double wall = (gas_wall_ + radiation + loss_ + jacket_) / wall_J_per_K_;
    const double load = (gas_load_ + radiation) / load_J_per_K_;
    return 0.3 / (wall + load);
  }
  [[nodiscard]] double jacket_W(State s) const { return jacket_ * (s.wall - ambient_degC); }
  [[nodiscard]] double stored_J(State s) const {
    return wall_J_per_K_ * s.wall + load_J_per_K_ * s.load;
  }

 private:
  const Parameters& p_;
  double wall_J_per_K_, load_J_per_K_;
  double gas_wall_, stream_, loss_, jacket_;
  double gas_load_ = 0.0;
};

}  // namespace

Jacket jacket_of(const plant::CoolingParameters& cooling) {
  if (!cooling.fitted) return {};
  const double air = cooling.airflow_L_per_s * 1e-3 * plant::air_density * plant::air_specific_heat;
  return {air, formulas::effectiveness(cooling.ua_W_per_K, air)};
}

double load_time_constant_s(const Parameters& p, double degC) {
  const double K = plant::to_K(degC);
  const double load = p.load.mass_kg * p.load.specific_heat_J_per_kgK;
  const double outside = p.load.convection_fan_W_per_K * convection_share(p) +
                         4.0 * plant::stefan_boltzmann * p.load.wall_radiation_m2 * K * K * K;
  return (load + p.load.rack_J_per_K) / outside +
         p.load.inside_fraction * load / p.load.inside_conductance_W_per_K;
}

std::optional<Course> ramp(const Machine& m, double from, double to, double rate_K_per_min) {
  constexpr int steps = 200;
  const Parameters& p = m.plant;
  const double C = machine::heated_capacity_J_per_K(p);
  const double asked_W = C * rate_K_per_min / 60.0 * (to < from ? -1.0 : 1.0);
  Course course;
  course.points.push_back({0.0, from});
  for (int i = 0; i < steps; ++i) {
    const double a = from + (to - from) * i / steps;
    const double b = from + (to - from) * (i + 1) / steps;
    // What the controller can ask of the heater: nothing below 0, nothing above its most.
    const double holding = holding_W(p, 0.5 * (a + b));
    const double heater = std::clamp(holding + asked_W, 0.0, most_W(m));
    const double net = heater - holding;
    if (!(net * (to - from) > 0.0)) return std::nullopt;
    if (net < asked_W * (1.0 - 1e-9) && to > from) course.as_asked = false;
    // The programme does not run ahead of its ramp, whatever the fan adds.
    const double seconds = std::max((b - a) * C / net, (b - a) * C / asked_W);
    course.seconds += seconds;
    course.heater_J += heater * seconds;
    course.points.push_back({course.seconds, b});
  }
  course.gave_off_J = C * (from - to);
  return course;
}

Course soak(const Machine& m, double degC, double seconds) {
  Course course;
  course.points = {{0.0, degC}, {seconds, degC}};
  course.seconds = seconds;
  course.heater_J = std::clamp(holding_W(m.plant, degC), 0.0, most_W(m)) * seconds;
  return course;
}

std::optional<Course> cool(const Parameters& p, double from, double to, bool jacket) {
  constexpr double settled_s = 30.0;
  const TwoLumps oven(p, jacket);
  constexpr std::size_t most_steps = 5'000'000;
  const double h = std::min(oven.step_s(from), 20.0);
  if (h < 1e-3) return std::nullopt;  // lumps of next to nothing
  if (to <= cooling_end_degC(p, jacket)) return std::nullopt;
  TwoLumps::State s{from, from};
  Course course;
  course.points.push_back({0.0, from});
  double before = from;
  const double start_J = oven.stored_J(s);
  while (before > to) {
    const double jacket_W = oven.jacket_W(s);
    s = oven.after(s, h);
    const double gas = oven.gas_degC(s);
    const double fall = before - gas;
    const bool stands = course.seconds > settled_s && fall < 1e-7 * h;
    if (stands || course.seconds > month_s || course.points.size() > most_steps) {
      return std::nullopt;
    }
    course.jacket_J += 0.5 * (jacket_W + oven.jacket_W(s)) * h;
    const double share = gas < to && fall > 0.0 ? (before - to) / fall : 1.0;
    course.seconds += share * h;
    course.points.push_back({course.seconds, std::max(gas, to)});
    if (course.seconds > settled_s) {
      course.most_make_up_L_per_min = std::max(
          course.most_make_up_L_per_min,
          formulas::contraction_L_per_min(p.chamber.volume_m3 * 1e3, gas, fall / h * 60.0));
    }
    before = gas;
  }
  course.gave_off_J = start_J - oven.stored_J(s);
  return course;
}

double cooling_end_degC(const Parameters& p, bool jacket) {
  const double conductance = machine::loss_W_per_K(p) + machine::process_gas_W_per_K(p) +
                             (jacket ? jacket_of(p.cooling).W_per_K() : 0.0);
  double degC = ambient_degC;
  for (int i = 0; i < 200; ++i) {  // halves the step, for a strong fan would make it swing
    degC = 0.5 * (degC + ambient_degC + machine::fan_W(p, degC) / conductance);
  }
  return degC;
}

}  // namespace ovenproof::sizing

#include "sim/sizing/heat_model.hpp"

#include <algorithm>
#include <cmath>

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
constexpr std::size_t most_steps = 5'000'000;

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

double fourth_power_of_K(double degC) {
  const double square = plant::to_K(degC) * plant::to_K(degC);
  return square * square;
}

/// Whether the heater's elements are one with the load, as while it cools, or lead the gas.
enum class Elements : std::uint8_t { with_load, lead };

/// Wall with its insulation on one side, all that hangs in the gas on the other; the gas between
/// them weighs nothing.
class TwoLumps {
 public:
  TwoLumps(const Parameters& p, bool jacket, Elements elements)
      : p_(p),
        wall_J_per_K_(p.wall.heat_capacity_J_per_K + machine::insulation_capacity_J_per_K(p)),
        load_J_per_K_(machine::load_capacity_J_per_K(p) -
                      (elements == Elements::lead ? p.heater.heat_capacity_J_per_K : 0.0)),
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
  /// Heat that leaves the oven, less the fan's work, W.
  [[nodiscard]] double leaving_W(State s, double gas) const {
    return (loss_ + jacket_) * (s.wall - ambient_degC) + stream_ * (gas - ambient_degC) -
           machine::fan_W(p_, s.wall);
  }
  [[nodiscard]] State rates(State s, double gas) const {
    const double radiated = plant::stefan_boltzmann * p_.load.wall_radiation_m2 *
                            (fourth_power_of_K(s.load) - fourth_power_of_K(s.wall));
    return {(gas_wall_ * (gas - s.wall) + radiated - (loss_ + jacket_) * (s.wall - ambient_degC)) /
                wall_J_per_K_,
            (gas_load_ * (gas - s.load) - radiated) / load_J_per_K_};
  }
  /// Left to itself. Classical Runge-Kutta, fourth order.
  [[nodiscard]] State after(State s, double h) const {
    return after(s, h, [this](State at) { return gas_degC(at); });
  }
  /// With the gas held there.
  [[nodiscard]] State after(State s, double h, double gas) const {
    return after(s, h, [gas](State /*at*/) { return gas; });
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
  template <class GasAt>
  [[nodiscard]] State after(State s, double h, GasAt gas_at) const {
    const auto moved = [&s](State d, double by) {
      return State{s.wall + by * d.wall, s.load + by * d.load};
    };
    const auto rates_at = [&](State at) { return rates(at, gas_at(at)); };
    const State a = rates_at(s);
    const State b = rates_at(moved(a, h / 2));
    const State c = rates_at(moved(b, h / 2));
    const State d = rates_at(moved(c, h));
    return {s.wall + h / 6 * (a.wall + 2 * b.wall + 2 * c.wall + d.wall),
            s.load + h / 6 * (a.load + 2 * b.load + 2 * c.load + d.load)};
  }

  const Parameters& p_;
  double wall_J_per_K_, load_J_per_K_;
  double gas_wall_, stream_, loss_, jacket_;
  double gas_load_ = 0.0;
};

/// An oven on its programme.
class Heating {
 public:
  explicit Heating(const Machine& m)
      : lumps_(m.plant, false, Elements::lead),
        elements_J_per_K_(m.plant.heater.heat_capacity_J_per_K),
        most_W_(most_W(m)) {}

  /// To the next target; empty if it never gets there.
  std::optional<Course> ramp(double to, double rate_K_per_min) {
    constexpr int points = 200;
    const double rate = (to < gas_ ? -1.0 : 1.0) * rate_K_per_min / 60.0;
    const double asked_s = (to - gas_) / rate;
    Course course = begun();
    while (gas_ != to) {
      const double before = gas_;
      const double left_s = (to - gas_) / rate;
      const double h = std::min(longest_step_s(), std::max(asked_s / points, 1e-3));
      // The last step is not shorter than this, or a weak heater would never be done.
      const double step_s = std::clamp(left_s, 1e-4 * h, h);
      const bool able = take_step(h < left_s ? gas_ + rate * h : to, step_s, course);
      course.as_asked = course.as_asked && able;
      const bool stands = gas_ != to && std::fabs(gas_ - before) < 1e-7 * step_s;
      if (stands || course.seconds > month_s || course.points.size() > most_steps) {
        return std::nullopt;
      }
    }
    return ended(std::move(course));
  }

  /// There, for a time.
  Course soak(double seconds) {
    constexpr int points = 200;
    Course course = begun();
    const double at = gas_;
    while (course.seconds < seconds && course.points.size() <= most_steps) {
      take_step(at, std::min({longest_step_s(), seconds / points, seconds - course.seconds}),
                course);
    }
    return ended(std::move(course));
  }

 private:
  [[nodiscard]] double longest_step_s() const {
    return std::clamp(lumps_.step_s(gas_), 1e-2, 20.0);
  }

  Course begun() {
    began_J_ = lumps_.stored_J(state_) + elements_J_per_K_ * gas_;
    Course course;
    course.points.push_back({0.0, gas_});
    return course;
  }
  Course ended(Course course) const {
    course.gave_off_J = began_J_ - lumps_.stored_J(state_) - elements_J_per_K_ * gas_;
    return course;
  }

  /// One step with the gas at `mean`, and at `end` when it is over.
  struct Try {
    TwoLumps::State state;
    double heater_J;
  };
  [[nodiscard]] Try tried(double mean, double end, double h) const {
    const TwoLumps::State after = lumps_.after(state_, h, mean);
    const TwoLumps::State middle{0.5 * (state_.wall + after.wall),
                                 0.5 * (state_.load + after.load)};
    return {after, lumps_.stored_J(after) - lumps_.stored_J(state_) +
                       lumps_.leaving_W(middle, mean) * h + elements_J_per_K_ * (end - gas_)};
  }

  /// Brings the gas there if the heater can, else as near as it can; a heater cannot cool. False if
  /// it has not the power.
  bool take_step(double wanted, double h, Course& course) {
    const double most_J = most_W_ * h;
    Try step = tried(0.5 * (gas_ + wanted), wanted, h);
    const bool able = step.heater_J <= most_J;
    const bool cools = wanted < gas_ && step.heater_J < 0.0;
    if (wanted == gas_ || (able && !cools)) {
      gas_ = wanted;
    } else {
      // The heat is all but linear in the temperature that it brings.
      const double held_J = tried(gas_, gas_, h).heater_J;
      const double J_per_K = (tried(wanted, wanted, h).heater_J - held_J) / (wanted - gas_);
      const double gas = gas_ + ((cools ? 0.0 : most_J) - held_J) / J_per_K;
      step = tried(gas, gas, h);
      gas_ = gas;
    }
    state_ = step.state;
    course.seconds += h;
    course.heater_J += std::clamp(step.heater_J, 0.0, most_J);
    course.points.push_back({course.seconds, gas_});
    return able;
  }

  TwoLumps lumps_;
  double elements_J_per_K_;
  double most_W_;
  TwoLumps::State state_{ambient_degC, ambient_degC};
  double gas_ = ambient_degC;
  double began_J_ = 0.0;
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

std::vector<Course> heating(const Machine& m) {
  const settings::Programme& programme = m.settings.programme;
  Heating oven(m);
  std::vector<Course> courses;
  for (std::size_t i = 0; i < programme.segment_count; ++i) {
    const settings::Segment& segment = programme.segments[i];
    std::optional<Course> way = oven.ramp(segment.target.value, segment.ramp_K_per_min);
    if (!way) break;
    courses.push_back(std::move(*way));
    courses.push_back(oven.soak(segment.soak.value / 1000.0));
  }
  return courses;
}

std::optional<Course> cool(const Parameters& p, double from, double to, bool jacket) {
  constexpr double settled_s = 30.0;
  const TwoLumps oven(p, jacket, Elements::with_load);
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

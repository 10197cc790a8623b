#pragma once
#include <cstdint>

#include "sim/plant/actuators.hpp"
#include "sim/plant/faults.hpp"
#include "sim/plant/network.hpp"
#include "sim/plant/parameters.hpp"
#include "sim/plant/sensors.hpp"
#include "sim/plant/signals.hpp"

/// A sealed, inert-gas-purged oven: physical quantities in, physical quantities out.
namespace ovenproof::plant {

/// Default step, s.
inline constexpr double default_step_s = 0.010;

/// What a run may begin with instead of a cold oven full of air.
struct InitialCondition {
  double chamber_degC = 20.0;     ///< elements, gas, wall and load; the insulation has its steady
                                  ///< profile from there to the room
  double oxygen = air_oxygen;     ///< mole fraction in the whole chamber
  bool oxygen_cell_warm = false;  ///< the cell is at its temperature already
};

/// The whole state of an oven between two steps. Plain data: a copy continues bit for bit.
struct State {
  State(const Parameters& parameters, const Surroundings& surroundings,
        const InitialCondition& initial);

  std::uint64_t steps = 0;
  StateVector y{};
  BookVector books{};
  double heater_J = 0.0;
  double heater_W = 0.0;
  Positions positions;
  Contactor k1, k2;
  SensorState sensors;
  Field field;
};

/// One oven under simulation. Copyable; nothing is shared between copies.
class Plant {
 public:
  /// A cold oven full of air, or as `initial` says. Throws std::invalid_argument, saying which
  /// part, if the step is not in (0, 0.1] s, does not divide 100 ms, or if some part of the
  /// oven is too quick for it.
  explicit Plant(const Parameters& parameters, const Surroundings& surroundings = {},
                 const InitialCondition& initial = {}, double step_s = default_step_s);

  /// Advances by one step with all inputs held over it.
  void step(const Actuation& actuation, const Operator& hands, const Surroundings& surroundings);

  /// What the field devices present now.
  const Field& field() const { return state_.field; }

  /// What is physically so now.
  Truth truth() const;

  /// Component faults in force from the next step on.
  const Faults& faults() const { return faults_; }
  void set_faults(const Faults& faults);
  /// Sets one fault; `severity` is held in 0..1, 0 mends.
  void set_fault(Fault fault, double severity);

  /// Replaces what is on the rack through the open door. False, and nothing done, unless the door
  /// is at least half open.
  bool place_load(double mass_kg, double temperature_degC);

  const Parameters& parameters() const { return parameters_; }
  const State& state() const { return state_; }
  double step_s() const { return step_s_; }

  /// Heat stored in all nodes and the gas, J above 0 K. With the books of the state it closes the
  /// energy balance.
  double stored_energy_J() const;

 private:
  void refresh();

  Parameters parameters_;
  Surroundings surroundings_;
  Faults faults_;
  double step_s_;
  int steps_per_conversion_;
  bool dirty_ = false;    ///< faults, surroundings or load changed since `refresh`
  bool settled_ = false;  ///< positions and contactors have arrived at `last_demand_`
  std::uint32_t last_demand_ = 0;

  // Derived from the above and the state; kept because they seldom change.
  Constants constants_;
  Coefficients coefficients_;
  Paces paces_;
  SensorPaces sensor_paces_;

  State state_;
};

}  // namespace ovenproof::plant

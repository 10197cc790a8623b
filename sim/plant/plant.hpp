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

/// How time is cut.
///
/// The plant is told of its inputs every `scan_s`. Strokes, contacts and switches follow every
/// scan. Heat and gas are integrated over one scan while anything moves, an input changes, the
/// door or a relief valve is open; otherwise over several, up to `longest_s`, as far as the
/// quickest part of the oven allows, and never across a conversion of the sensors: what sensors
/// show is integrated up to the moment they show it. Heater power that changes within such a step
/// counts with its mean.
struct Timing {
  double scan_s = 0.010;     ///< at most 0.010, a whole fraction of `conversion_s`
  double longest_s = 0.100;  ///< longest integration step
};

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

  std::uint64_t scans = 0;
  int scans_into_conversion = 0;
  int scans_pending = 0;   ///< scans not yet integrated into `y` and `books`
  double pending_J = 0.0;  ///< electric energy of those
  StateVector y{};
  BookVector books{};
  double heater_J = 0.0;  ///< electric energy that went into `y`
  double heater_W = 0.0;
  double purge_mol_s = 0.0;  ///< supply flows at the last integration
  double process_mol_s = 0.0;
  Positions positions;
  ControlRelay k0;
  Actuation fed;
  Contactor k1, k2;
  SensorState sensors;
  Field field;
};

/// One oven under simulation. Copyable; nothing is shared between copies.
class Plant {
 public:
  /// A cold oven full of air, or as `initial` says. Throws std::invalid_argument, saying which
  /// part, if a scan is not a whole fraction of a conversion or some part of the oven is too
  /// quick for it.
  explicit Plant(const Parameters& parameters, const Surroundings& surroundings = {},
                 const InitialCondition& initial = {}, const Timing& timing = {});

  /// Advances by one scan with all inputs held over it.
  void step(const Actuation& driven, const Operator& hands, const Surroundings& surroundings);

  /// What the field devices present now.
  const Field& field() const { return state_.field; }

  /// What is physically so. Positions, contacts and power are of now; temperatures, pressure,
  /// oxygen and totals those of the last integration, at most `Timing::longest_s` ago.
  Truth truth() const;

  /// Component faults in force from the next scan on.
  const Faults& faults() const { return faults_; }
  void set_faults(const Faults& faults);
  /// Sets one fault; `severity` is held in 0..1, 0 mends.
  void set_fault(Fault fault, double severity);

  /// The door is at least half open.
  bool door_passable() const { return state_.positions.door >= 0.5; }
  /// Replaces what is on the rack through the open door. False, and nothing done, unless the door
  /// is passable.
  bool place_load(double mass_kg, double temperature_degC);

  const Parameters& parameters() const { return parameters_; }
  const State& state() const { return state_; }
  const Timing& timing() const { return timing_; }

  /// Heat stored in all nodes and the gas, J above 0 K. With the books of the state it closes the
  /// energy balance.
  double stored_energy_J() const;

 private:
  void refresh();
  JacketSegment jacket_at(const Positions& positions) const;
  void integrate(const Coefficients& middle, const Coefficients& end);

  Parameters parameters_;
  Surroundings surroundings_;
  Faults faults_;
  Timing timing_;
  int scans_per_conversion_;
  int scans_per_integration_ = 1;  ///< while nothing moves
  bool dirty_ = false;             ///< faults, surroundings or load changed since `refresh`
  bool settled_ = false;           ///< positions and contactors have arrived at `last_demand_`
  std::uint32_t last_demand_ = 0;

  // Derived from the above and the state; kept because they seldom change.
  Constants constants_;
  Coefficients coefficients_;
  Paces paces_;
  SensorPaces sensor_paces_;

  State state_;
};

}  // namespace ovenproof::plant

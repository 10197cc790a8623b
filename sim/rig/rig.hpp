#pragma once
#include <cstdint>
#include <optional>
#include <vector>

#include "firmware/controller/controller.hpp"
#include "hal-mock/board.hpp"
#include "sim/plant/plant.hpp"
#include "sim/rig/component_fault.hpp"
#include "sim/rig/hands.hpp"

namespace ovenproof::rig {

/// What a rig is made of.
struct Oven {
  plant::Parameters plant;
  settings::Settings settings;
  mock::BoardOptions board;
  plant::InitialCondition initial;
};

/// One oven under test: the firmware on a mock board, wired to the plant, with virtual time. A
/// plain value: a copy goes on bit for bit as the original would.
class Rig {
 public:
  /// Door closed, settings in the store, power just switched on; cold and in air unless
  /// `oven.initial` says otherwise. Throws std::invalid_argument if the parameters cannot be
  /// stepped by the scan period.
  explicit Rig(const Oven& oven);

  /// One scan period: the field reaches the board, the controller scans, the plant moves on.
  void step();

  [[nodiscard]] mock::VirtualMs now_ms() const { return board_.virtual_ms(); }
  [[nodiscard]] std::uint32_t period_ms() const { return period_ms_; }
  /// As ordered: closing the armed door starts a cycle.
  [[nodiscard]] bool starts_by_door() const { return starts_by_door_; }

  Hands hands;
  plant::Surroundings surroundings;

  /// The door is open far enough to reach in and to carry a load through.
  [[nodiscard]] bool door_passable() const { return plant_.door_passable(); }
  /// Takes the load out, with the heat it has, and puts a fresh one in, at room temperature. False,
  /// and nothing done, unless the door is passable.
  bool exchange_load();

  /// Mains power of the controller and of everything it drives.
  void power_off();
  void power_on();
  /// The controller does not scan for that long, as if its processor were busy elsewhere.
  void stall(std::uint32_t ms) { stalled_until_ms_ = now_ms() + ms; }

  /// Adds a component fault; several of one component: the worst acts.
  void inject(const ComponentFault& fault) { component_faults_.push_back(fault); }
  void clear_component_faults();

  [[nodiscard]] mock::Board& board() { return board_; }
  [[nodiscard]] const mock::Board& board() const { return board_; }
  [[nodiscard]] const plant::Plant& plant() const { return plant_; }
  [[nodiscard]] plant::Truth truth() const { return plant_.truth(); }
  /// Without power there is no controller running: what it held before is no longer there.
  [[nodiscard]] bool controller_runs() const { return controller_.has_value(); }
  /// \pre controller_runs()
  [[nodiscard]] const controller::Controller& controller() const { return *controller_; }

 private:
  void scan();
  void apply_component_faults();

  mock::Board board_;
  plant::Plant plant_;
  std::optional<controller::Controller> controller_;
  std::vector<ComponentFault> component_faults_;
  mock::VirtualMs stalled_until_ms_ = 0;
  std::uint32_t period_ms_;
  bool starts_by_door_;
};

}  // namespace ovenproof::rig

#pragma once
#include <optional>
#include <string>
#include <vector>

#include "sim/rig/rig.hpp"
#include "sim/scenario/case.hpp"

namespace ovenproof::scenario {

/// Does to a rig what scenarios say, and remembers what must be undone later.
class Actor {
 public:
  explicit Actor(const OvenContext& oven) : oven_(oven) {}

  /// Does the action now. Gives why it could not be done, or nothing.
  std::optional<std::string> perform(const Action& action, rig::Rig& rig);
  /// Undoes what is due; before each scan.
  void undo_due(rig::Rig& rig);

 private:
  struct Undo {
    mock::VirtualMs at_ms = 0;
    Act act;
  };
  struct InjectedSignal {
    mock::Point point;
    mock::FaultId id;
  };

  std::optional<std::string> apply(const Act& act, rig::Rig& rig);
  std::optional<std::string> break_signal(mock::SignalFault fault, rig::Rig& rig);
  void clear(const Clear& what, rig::Rig& rig);

  const OvenContext& oven_;
  std::vector<Undo> undo_;  ///< in the order in which they were ordered
  std::vector<InjectedSignal> signals_;
  std::vector<rig::ComponentFault> components_;
};

}  // namespace ovenproof::scenario

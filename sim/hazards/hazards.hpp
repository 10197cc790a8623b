#pragma once
#include <string>
#include <vector>

#include "sim/properties/signal_table.hpp"
#include "sim/rig/rig.hpp"

/// What must never happen in an oven, whatever its controller believes.
namespace ovenproof::hazards {

/// A physical condition of the oven that can hurt people, the load or the oven.
struct Hazard {
  std::string id;           ///< stable, for reports and traces of requirements
  std::string title;        ///< what happens, in words
  std::string consequence;  ///< what it can lead to
  std::string property;     ///< what must hold, in the property language
  std::string brought_about_by;
  std::string against;  ///< requirements by their ids, and other means
};

/// The hazards every oven is judged by. Their limits are constants of the table of `signal_table`.
const std::vector<Hazard>& default_hazards();

/// All probes of a rig as signals, in their order; the oven's limits (`limit.wall`) and the
/// controller's settings (`setting.purge.gate`) as constants.
properties::SignalTable signal_table(const rig::Oven& oven);

}  // namespace ovenproof::hazards

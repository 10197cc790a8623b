#pragma once
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "sim/machine/error.hpp"

namespace ovenproof::machine {

/// A failure mode, by the id that `ovenproof campaign --list` shows, and why something is said of
/// it.
struct ModeRemark {
  std::string mode;
  std::string reason;
  Place at;  ///< in the file
};

/// Failure modes of which the same is said.
struct SharedReason {
  std::string reason;
  std::vector<std::string> modes;
};

/// Remarks by their reason, in the order in which the reasons first stand.
std::vector<SharedReason> by_reason(const std::vector<ModeRemark>& remarks);

/// A failure mode that the catalogue does not have.
struct AddedMode {
  std::string mode;       ///< id: component, dot, name
  std::string what;       ///< in words
  std::size_t onset = 0;  ///< 0 abrupt, 1 intermittent, 2 drifting
  std::string action;     ///< what is done, as a scenario's step says it: "fault: fan_slow 20 %"
  std::string reason;     ///< why it is considered
  Place at;
};

/// What a machine file says of its failure modes.
struct CampaignRemarks {
  std::vector<ModeRemark> accepted;  ///< may end hazardous
  std::vector<ModeRemark> excluded;  ///< are not tried
  std::vector<AddedMode> added;
};

}  // namespace ovenproof::machine

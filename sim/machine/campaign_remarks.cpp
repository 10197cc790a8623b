#include "sim/machine/campaign_remarks.hpp"

#include <algorithm>

namespace ovenproof::machine {

std::vector<SharedReason> by_reason(const std::vector<ModeRemark>& remarks) {
  std::vector<SharedReason> all;
  for (const ModeRemark& each : remarks) {
    auto at = std::find_if(all.begin(), all.end(),
                           [&](const SharedReason& one) { return one.reason == each.reason; });
    if (at == all.end()) at = all.insert(all.end(), {each.reason, {}});
    at->modes.push_back(each.mode);
  }
  return all;
}

}  // namespace ovenproof::machine

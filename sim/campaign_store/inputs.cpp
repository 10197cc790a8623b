#include "sim/campaign_store/inputs.hpp"

#include <fmt/format.h>

namespace ovenproof::campaign_store {

std::vector<std::string> differences(const Inputs& stored, const Inputs& here) {
  std::vector<std::string> found;
  const auto compare = [&](std::string_view what, const auto& a, const auto& b) {
    if (a != b) found.push_back(fmt::format("{}: {}, here {}", what, a, b));
  };
  const auto hash = [&](std::string_view what, std::string_view a, std::string_view b) {
    if (a != b) {
      found.push_back(fmt::format("{}: {}..., here {}...", what, a.substr(0, 16), b.substr(0, 16)));
    }
  };
  compare("machine", stored.machine, here.machine);
  hash("SHA-256 of the machine file", stored.machine_sha256, here.machine_sha256);
  hash("build of the program", stored.build, here.build);
  compare("instants a mode", stored.options.instants, here.options.instants);
  compare("seed", stored.options.seed, here.options.seed);
  compare("pairs", stored.pairs, here.pairs);
  // Last, for it follows from those above unless something is wrong with the program.
  if (found.empty()) hash("SHA-256 of the plan", stored.inputs_sha256, here.inputs_sha256);
  return found;
}

}  // namespace ovenproof::campaign_store

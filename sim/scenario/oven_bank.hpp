#pragma once
#include <map>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "sim/machine/error.hpp"
#include "sim/machine/yaml_tree.hpp"
#include "sim/scenario/case.hpp"

namespace ovenproof::scenario {

/// The oven of a machine, ready for cases: power just switched on, cold and in air.
std::shared_ptr<const OvenContext> make_oven(machine::Machine machine);

/// Loads machines with overrides, each combination once.
class OvenBank {
 public:
  using Result = std::variant<std::shared_ptr<const OvenContext>, std::vector<machine::Error>>;

  /// \param override_node a map of machine keys as in a machine file; null for none
  /// \param file the scenario file, which errors in the override are said to be in
  Result get(const std::string& machine_path, const machine::Node* override_node,
             const std::string& file);

 private:
  std::map<std::string, Result> known_;
};

}  // namespace ovenproof::scenario

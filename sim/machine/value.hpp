#pragma once
#include <cstddef>
#include <optional>
#include <string>

#include "sim/machine/keys.hpp"
#include "sim/machine/yaml_tree.hpp"

namespace ovenproof::machine {

/// Why a value is not taken.
struct Refusal {
  std::string expected;
  std::string found;
  std::string hint;
};

/// Stores what a node says as the value of a key, in the given item of a list. On refusal the
/// machine is as it was.
std::optional<Refusal> put_value(const Node& node, const Key& key, std::size_t item,
                                 Machine& machine);

}  // namespace ovenproof::machine

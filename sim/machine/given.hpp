#pragma once
#include <map>
#include <set>
#include <string>
#include <vector>

#include "sim/machine/error.hpp"
#include "sim/machine/machine.hpp"

namespace ovenproof::machine {

/// What a file gave, with full key paths ("programme.segments[2].target").
struct Given {
  std::map<std::string, Place> at;  ///< where each value stands
  std::set<std::string> bad;        ///< keys and groups already reported: they say nothing

  /// True if the key or a group that holds it was reported.
  [[nodiscard]] bool is_bad(std::string path) const;
};

/// Full path of a key of the table; `item` counts from 0 and matters in a list only.
std::string full_path(const std::string& path, std::size_t item = 0);

/// Values that are each allowed but cannot stand together. Nothing is said of keys in `given.bad`.
std::vector<Error> contradictions(const Machine& machine, const Given& given,
                                  const std::string& file);

/// What can stand together but should be looked at, told as errors are.
std::vector<Error> warnings(const Machine& machine, const Given& given, const std::string& file);

}  // namespace ovenproof::machine

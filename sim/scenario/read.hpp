#pragma once
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "sim/machine/error.hpp"
#include "sim/scenario/case.hpp"
#include "sim/scenario/oven_bank.hpp"

namespace ovenproof::scenario {

/// The cases of a scenario file, or everything that is wrong with it, in the order of the file.
using Read = std::variant<std::vector<Case>, std::vector<machine::Error>>;

/// Reads a scenario from the text of a file. `name` is what errors call the file, and where paths
/// in it start from. Any bytes will do: this reports, and never throws.
Read read_text(std::string_view text, const std::string& name, OvenBank& bank);

/// The same from a file.
Read read_file(const std::string& path, OvenBank& bank);

}  // namespace ovenproof::scenario

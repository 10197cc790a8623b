#pragma once
#include <string>
#include <vector>

#include "sim/replay/log_reader.hpp"

namespace ovenproof::replay {

/// Finds the columns of a mapping in the header of a log. What does not fit is added to `errors`.
Layout lay_out(LogHead head, const std::string& file, const Mapping& mapping,
               const machine::Machine& machine, std::vector<machine::Error>& errors);

}  // namespace ovenproof::replay

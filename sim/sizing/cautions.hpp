#pragma once
#include <string>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/sizing/predict.hpp"

namespace ovenproof::sizing {

/// What people must see beside the figures of this machine.
std::vector<std::string> cautions_of(const machine::Machine& machine, const Prediction& prediction);

}  // namespace ovenproof::sizing

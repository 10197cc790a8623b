#pragma once
#include <string>
#include <variant>
#include <vector>

#include "sim/campaign/mode.hpp"

namespace ovenproof::campaign {

/// What is done as a scenario file would say it: "fault: k1 open". `read_realisation` reads it
/// back.
std::string phrase_of(const scenario::Action& action);

/// Reads what is done to the oven as a scenario file would say it: "fault: k1 open", "power: off
/// for 5 s". Gives what was expected and found instead if it cannot be read.
std::variant<Realisation, std::string> read_realisation(Onset onset,
                                                        const std::vector<std::string>& phrases);

/// The same for phrases that the program itself makes. Throws std::logic_error if they are wrong.
Realisation realise(Onset onset, const std::vector<std::string>& phrases);

}  // namespace ovenproof::campaign

#pragma once
#include <span>
#include <string>

#include <nlohmann/json_fwd.hpp>

#include "sim/app/terminal.hpp"
#include "sim/campaign/safety_figures.hpp"

namespace ovenproof::app {

/// What the numbers of the safety functions come to: text of at most 80 columns with its caution;
/// empty if the machine file states none.
std::string safety_report(std::span<const campaign::SafetyFunction> functions, const Style& style);

/// The same for JSON: an array.
nlohmann::ordered_json safety_json(std::span<const campaign::SafetyFunction> functions);

}  // namespace ovenproof::app

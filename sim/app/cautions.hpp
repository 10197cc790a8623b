#pragma once
#include <string_view>

namespace ovenproof::app {

/// Goes with every result that people see.
inline constexpr std::string_view caution =
    "Simulation supports a safety case and never replaces it. Hazards and the required performance "
    "level come from the machine's own risk assessment, by competent people, under local codes. "
    "Interlocks that protect people also need hard-wired means. Inert gas suffocates without "
    "warning.";

}  // namespace ovenproof::app

#pragma once
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "sim/app/terminal.hpp"
#include "sim/machine/machine.hpp"

namespace ovenproof::app {

/// Failure modes of which a machine file says the same, then the reason. Text of at most 80
/// columns.
std::string remarks_text(const std::vector<machine::ModeRemark>& remarks);

/// Who signed, and when: "A. Name, 2026-03-31".
std::string signer(const machine::Machine& machine);

/// That what needs a sign-off does not count, and why; empty if it counts or nothing needs one.
std::string unsigned_text(const machine::Machine& machine, const Style& style);

/// The sign-off and whether it counts; null for a machine that needs none.
nlohmann::ordered_json sign_off_json(const machine::Machine& machine);

}  // namespace ovenproof::app

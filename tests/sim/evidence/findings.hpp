#pragma once
#include <nlohmann/json.hpp>

#include "sim/evidence/document.hpp"

namespace ovenproof::evidence {

/// Findings about a demo machine as they would be if everything held, made up but for the machine.
Findings sound_findings();

/// How a test makes a document.
Making some_making();

/// The document as JSON.
nlohmann::json made(const Findings& findings);

}  // namespace ovenproof::evidence

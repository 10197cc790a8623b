#pragma once
#include <optional>
#include <string>
#include <vector>

#include "sim/app/evidence_run.hpp"
#include "sim/app/exit_status.hpp"

namespace ovenproof::app {

/// The arguments that a manifest states, as `replay_arguments` writes them; empty if they are not
/// such.
std::optional<EvidenceArguments> read_replay_arguments(const std::vector<std::string>& words);

/// Makes the pack in `folder` again, elsewhere, and tells what differs: inputs and build from what
/// its manifest says, its files from their hashes and from those made again. The inputs
/// are read from the pack. An input that also exists outside the pack and differs is reported.
ExitStatus verify_evidence(const std::string& folder, unsigned jobs);

}  // namespace ovenproof::app

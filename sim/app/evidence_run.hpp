#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "sim/app/exit_status.hpp"
#include "sim/campaign/plan.hpp"

namespace ovenproof::app {

/// What the command line asks of a pack.
struct EvidenceArguments {
  std::string machine;
  std::string out;
  std::vector<std::string> scenarios;  ///< files and folders
  std::uint32_t cycles = 2;
  std::uint32_t trace_every_ms = 10'000;
  bool prove = true;
  bool campaign = false;
  bool pairs = false;  ///< of the campaign
  campaign::PlanOptions plan;
  std::size_t memory_MiB = 2048;
  unsigned jobs = 1;
  std::string date;
};

/// The arguments that make the same pack again: all but where it goes, the number of jobs and what
/// is as by default.
std::vector<std::string> replay_arguments(const EvidenceArguments& arguments);

/// Does the work and writes the pack.
ExitStatus make_evidence(const EvidenceArguments& arguments);

}  // namespace ovenproof::app

#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/app/exit_status.hpp"
#include "sim/campaign/plan.hpp"
#include "sim/evidence/document.hpp"

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
  bool pairs = false;         ///< of the campaign
  std::string campaign_file;  ///< kept by `campaign --out`: shown instead of injecting anew
  campaign::PlanOptions plan;
  std::size_t memory_MiB = 2048;
  unsigned jobs = 1;
  std::string date;
};

/// The arguments that make the same pack again: all but where it goes, the number of jobs, what is
/// as by default.
std::vector<std::string> replay_arguments(const EvidenceArguments& arguments);

/// What came of a pack.
struct MadePack {
  std::string machine;  ///< its name
  evidence::Summary summary;
};

/// Does the work and writes the pack, and tells nothing but its progress. Empty, with everything
/// that is wrong told and nothing written, if an input is.
std::optional<MadePack> write_pack(EvidenceArguments arguments);

/// The same, and tells what came of it.
ExitStatus make_evidence(const EvidenceArguments& arguments);

}  // namespace ovenproof::app

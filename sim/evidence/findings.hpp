#pragma once
#include <optional>
#include <string>
#include <vector>

#include "sim/campaign/plan.hpp"
#include "sim/cycle/run.hpp"
#include "sim/evidence/trends.hpp"
#include "sim/machine/machine.hpp"
#include "sim/prove/proof.hpp"
#include "sim/scenario/suite.hpp"
#include "sim/sizing/size.hpp"

namespace ovenproof::evidence {

/// Whole cycles without faults.
struct CycleFinding {
  cycle::Plan plan;
  cycle::RunResult result;
  Trends trends;
};

/// Scenarios that were played on the machine.
struct ScenarioFinding {
  std::vector<scenario::Item> items;
  std::vector<scenario::CaseResult> results;  ///< of the items, in their order
  std::size_t of_other_machines = 0;          ///< found beside them, and not played
};

struct ProofFinding {
  prove::Proof proof;
  std::vector<std::string> assumptions;
};

/// Failure modes, one by one and in pairs, injected all over the cycles.
struct CampaignFinding {
  campaign::PlanOptions options;
  campaign::Plan plan;
  std::vector<campaign::Result> results;  ///< by number
};

/// Everything that was found out about one machine: what the evidence is made from. What is absent
/// was not done, and the evidence says so.
struct Findings {
  machine::Machine machine;
  std::optional<CycleFinding> cycle;
  std::optional<ScenarioFinding> scenarios;
  std::optional<ProofFinding> proof;
  std::optional<sizing::Sizing> sizing;
  std::optional<CampaignFinding> campaign;
};

/// A file of raw data in the pack.
struct RawFile {
  std::string name;  ///< "cycle.csv"
  std::string what;  ///< in words
};

/// How the evidence was made.
struct Making {
  std::string command;      ///< that makes it again, without what has no influence on it
  std::string stated_date;  ///< as the user said; empty: none
  std::string caution;      ///< goes with every result
  std::vector<RawFile> files;
};

}  // namespace ovenproof::evidence

#pragma once
#include <string>
#include <vector>

#include "sim/app/terminal.hpp"
#include "sim/prove/proof.hpp"

namespace ovenproof::app {

/// What was proved, for one machine or for every one that can be ordered.
struct ProveResult {
  std::string machine;  ///< name; empty for all options
  std::vector<prove::Proof> proofs;
  std::vector<std::string> assumptions;

  [[nodiscard]] bool all_hold() const;
};

/// Text of at most 80 columns. Neither this nor the JSON tells how long it took.
std::string prove_report(const ProveResult& result, const Style& style);

/// One JSON object with a newline at the end.
std::string prove_json(const ProveResult& result);

/// "oxygen monitor, jacket cooling, start by door, re-purges 1"
std::string options_text(const logic::Options& options);

/// "reset_pressed, not door_closed": the facts that a script sets in one scan.
std::string facts_text(const prove::Reading& reading);

/// "fan, purge_valve"; "-" for none.
std::string outputs_text(logic::OutputSet outputs);

}  // namespace ovenproof::app

#pragma once
#include <string>
#include <vector>

/// The state machine of firmware/logic as plain data, read from the very transition tables that
/// run.
namespace ovenproof::evidence {

/// A state; one with children is a machine of its own.
struct ChartState {
  std::string name;      ///< "purging", "gas shut"
  bool initial = false;  ///< of its region or machine
  std::vector<ChartState> children;
};

/// One row of a transition table.
struct ChartTransition {
  std::string from;
  std::string to;
  std::string event;   ///< "Advance"
  std::string guard;   ///< "gate reached"; empty: always
  std::string action;  ///< "meet gate"; empty: none
};

/// States of which exactly one is active.
struct ChartRegion {
  std::string name;                          ///< "sequence", "gas"
  std::vector<ChartState> states;            ///< in the order in which the table names them
  std::vector<ChartTransition> transitions;  ///< of the region and of the machines inside it
};

/// The whole chart. Reading the tables: among rows of one source and event the last is tried
/// first.
std::vector<ChartRegion> state_chart();

}  // namespace ovenproof::evidence

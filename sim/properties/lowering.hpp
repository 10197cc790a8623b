#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <utility>
#include <vector>

#include "sim/properties/program.hpp"

namespace ovenproof::properties {

/// Translates formulas, one after another, into the nodes of one program. Private to this library.
class Lowering {
 public:
  explicit Lowering(Program& program) : program_(program) {}

  /// Adds the nodes and the plan of one property.
  void add(const Formula& formula);

  /// Fills in who depends on whom, and when each node begins.
  void link();

 private:
  /// What a leaf's key is to be: a distance in this quantity, or with none only true or false.
  using Mode = const MarginKind*;

  // lowering.cpp: conditions
  NodeId lower(ConditionId id, bool positive, Mode mode);
  NodeId comparison(const Condition& c, bool positive, Mode mode);
  NodeId member(const Condition& c, bool positive);
  NodeId rises(ConditionId operand, bool positive, Mode mode);
  NodeId until(const Condition& c, bool positive, Mode mode);
  NodeId since(const Condition& c, bool positive, Mode mode);
  NodeId held_for(const Condition& c, bool positive, Mode mode);
  NodeId recent(const Condition& c, bool positive, Mode mode);
  NodeId window(NodeId operand, std::uint32_t width, Key flip);
  NodeId either(NodeId a, NodeId b, Key flip);
  NodeId past(NodeId operand, std::uint32_t scans, bool before);
  NodeId aligned(NodeId operand, std::uint32_t delay);
  void align(NodeId& a, NodeId& b);
  SlotId expression(ExpressionId id);

  // lowering_verdicts.cpp: statements
  std::uint32_t judge(ConditionId id, bool positive, Mode mode);
  NodeId verdict(const Condition& c, bool positive, Mode mode);
  NodeId respond(ConditionId event, bool on_edge, ConditionId response, const Condition& bound,
                 bool positive, Mode mode);
  void note_occasions(ConditionId id);

  // link.cpp
  using Lists = std::vector<std::vector<NodeId>>;
  Dependents write_marks(const std::vector<NodeId>& nodes);
  Dependents write_watchers(SlotId slot, const std::vector<NodeId>& nodes);
  void find_only_verdicts(const Lists& dependents);
  void find_sleepers(const Lists& dependents);

  NodeId intern(Node node, Span place);
  SlotId intern_slot(Node node);
  SlotId signal_slot(std::uint32_t column);
  SlotId constant_slot(double value);

  using Identity = std::array<std::uint64_t, 12>;
  [[nodiscard]] static Identity identity(const Node& node);

  Program& program_;
  const Formula* formula_ = nullptr;
  PropertyPlan plan_;
  Span place_;  // of the condition being lowered
  std::map<Identity, NodeId> nodes_;
  std::map<std::uint64_t, SlotId> constants_;
  std::map<std::uint32_t, SlotId> signals_;
};

}  // namespace ovenproof::properties

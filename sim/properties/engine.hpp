#pragma once

#include <algorithm>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "sim/properties/engine_state.hpp"
#include "sim/properties/monitor.hpp"
#include "sim/properties/program.hpp"

namespace ovenproof::properties {

/// A running program. A node is evaluated only in scans in which an operand changed or its own
/// time has come; most conditions on a plant change rarely.
class Engine {
 public:
  explicit Engine(std::shared_ptr<const Program> program);

  /// Returns true if a verdict became certain that was not.
  bool step(const double* row);

  /// Goes on past the end of the run until every verdict has heard of its last scan, with `bound`
  /// (certain or ~certain) as the key of every leaf.
  void run_out(Key bound);

  [[nodiscard]] const Program& program() const { return *program_; }
  [[nodiscard]] std::uint64_t scans() const { return scan_; }

  struct Judged {
    Value value;
    std::uint32_t anchor = 0;
    bool bound = false;
  };
  /// Value of a judgement if nothing came after the scans seen; with `later` as the key of what
  /// could still have come after the end.
  [[nodiscard]] Judged judged(std::uint32_t judgement, Key later) const;

  /// Truth of a judgement whatever follows, if that is settled.
  [[nodiscard]] std::optional<bool> settled(std::uint32_t judgement) const;

  /// Whether a verdict node, a maximum over the run, was ever true.
  [[nodiscard]] bool happened(NodeId node) const { return values_[node].key >= 0; }

 private:
  void run_marked();
  void evaluate(NodeId id);
  void arithmetic(const Node& node);
  void leaf(NodeId id, const Node& node);
  void compare(NodeId id, const Node& node);
  void watch_only(std::uint32_t watch, double low, double high);
  void watch_value(std::uint32_t watch, double value);
  void watch_limit(const Node& node, Key key, bool first);
  void tell(SlotId slot, double value, Dependents watchers);
  void either(NodeId id, const Node& node);
  void sleep(NodeId id);
  void rouse(NodeId id);
  void window(NodeId id, const Node& node);
  void delay(NodeId id, const Node& node);
  void until(NodeId id, const Node& node);
  void clock(NodeId id, const Node& node);
  void verdict(NodeId id, const Node& node);
  void respond(NodeId id, const Node& node, std::uint32_t label);
  [[nodiscard]] Judged leaf_judged(NodeId id, Key later) const;
  [[nodiscard]] std::optional<bool> leaf_settled(NodeId id) const;

  void mark(Dependents dependents);
  void again_next_scan(NodeId id);
  void wake(NodeId id, std::int64_t scan) {
    wake_at_[id] = static_cast<std::uint32_t>(scan);
    next_wake_ = std::min(next_wake_, wake_at_[id]);
  }
  void set(NodeId id, const Node& node, const Value& value);

  std::shared_ptr<const Program> program_;
  const Node* nodes_;  // of the program
  std::uint32_t scan_ = 0;
  std::uint32_t end_ = UINT32_MAX;  ///< number of scans of the run, once it is over
  bool attention_ = false;
  std::vector<double> slots_;
  /// Values of a slot within the range cannot matter to the node.
  struct Watch {
    double low = 0.0;
    double high = 0.0;
    NodeId node = 0;
  };
  std::vector<Watch> watches_;
  std::vector<Value> values_;
  std::vector<std::uint64_t> marked_;
  std::vector<std::uint64_t> next_marked_;
  std::vector<std::uint32_t> wake_at_;  ///< by node
  std::vector<NodeId> sleepers_;        ///< nodes that ever wake by themselves
  std::uint32_t next_wake_ = UINT32_MAX;
  std::size_t next_activation_ = 0;
  std::vector<std::uint8_t> asleep_;  ///< by node: operand b of this `either` sleeps
  std::vector<WindowState> windows_;
  std::vector<DelayState> delays_;
  std::vector<UntilState> untils_;
  std::vector<ClockState> clocks_;
};

inline void Engine::mark(Dependents dependents) {
  const Mark* const marks = program_->marks.data();
  for (std::uint32_t i = dependents.begin; i < dependents.end; ++i) {
    marked_[marks[i].word] |= marks[i].bits;
  }
}

inline void Engine::again_next_scan(NodeId id) {
  next_marked_[id / 64] |= std::uint64_t{1} << (id % 64);
}

/// Takes over the value if its key is new. Before its time a node keeps its value to itself.
inline void Engine::set(NodeId id, const Node& node, const Value& value) {
  if (values_[id].key == value.key) return;
  values_[id] = value;
  if (scan_ >= node.delay) mark(node.dependents);
}

}  // namespace ovenproof::properties

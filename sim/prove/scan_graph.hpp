#pragma once
#include <cstdint>
#include <vector>

#include "firmware/logic/logic.hpp"
#include "sim/prove/adversary.hpp"
#include "sim/prove/signals.hpp"
#include "sim/prove/slots.hpp"

namespace ovenproof::prove {

/// Every way through one scan from one state of the logic, whatever the facts are.
///
/// The logic takes a scan in steps, and what a step hands on is all that the next one knows. Ways
/// that come to the same state between two steps go on as one: each step is run once for each
/// combination of the facts that it looks at itself, not once for each combination of all facts
/// that were looked at before. So this is a graph without cycles; its inner nodes are states
/// between steps, its leaves the answers.
///
/// Not every path is a way: steps may look at the same fact, and must then see the same. A walk
/// must carry along what it has read of the facts that are looked at later().
///
/// Each step is taken twice. The second time all timers are said to run already, which it must
/// leave so; and where first-outs that the logic treats alike are merged, another of them is the
/// first-out, which must change nothing else. See first_outs_differ().
class ScanGraph {
 public:
  using Index = std::uint32_t;

  /// One step for one combination of the facts that it looks at.
  struct Branch {
    Reading reading;  ///< with what it excludes
    Index to;
    logic::Cause tripped_by = logic::Cause::none;  ///< the first-out, if it came in this step
    logic::TimerSet runs = 0;                      ///< timers that this step commands to run
  };

  /// `alike`: scans that trip for one cause and another, that the logic treats alike, come to the
  /// same nodes, which have the representative() as first-out.
  ScanGraph(const logic::Options& options, const Reading& assumed, bool alike);

  /// Makes it the graph of this state, pack()ed.
  void build(std::uint64_t from);

  [[nodiscard]] std::size_t size() const { return nodes_.size(); }
  /// All nodes, none before one that leads to it; the first is where the scan begins.
  [[nodiscard]] const std::vector<Index>& in_order() const { return order_; }
  /// Nodes without branches that a path leads to, in that order.
  [[nodiscard]] const std::vector<Index>& leaves() const { return leaves_; }
  [[nodiscard]] bool is_leaf(Index node) const {
    return nodes_[node].progress.next == logic::Step::done;
  }
  /// Its branches are those from begin to end.
  [[nodiscard]] Index begin(Index node) const { return nodes_[node].first_branch; }
  [[nodiscard]] Index end(Index node) const { return nodes_[node].end_branch; }
  [[nodiscard]] const Branch& branch(Index branch) const { return branches_[branch]; }
  /// Facts that a scan may look at from this node on, and those that exclude them.
  [[nodiscard]] FactSet later(Index node) const { return nodes_[node].later; }
  [[nodiscard]] logic::LogicState after(Index leaf) const { return nodes_[leaf].state; }
  [[nodiscard]] Answer answer(Index leaf) const;
  /// All that is commanded there, but for the timers.
  [[nodiscard]] const logic::Commands& commands(Index leaf) const {
    return nodes_[leaf].progress.commands;
  }
  /// A step has done something else for a first-out than for the one that stands for it, so states
  /// must not be merged. In any graph so far.
  [[nodiscard]] bool first_outs_differ() const { return first_outs_differ_; }
  /// First-outs that some scan comes to have, bit n for Cause n.
  [[nodiscard]] std::uint64_t first_outs() const { return first_outs_; }

  /// Steps of the logic run so far, in all graphs.
  [[nodiscard]] std::uint64_t steps() const { return steps_; }

 private:
  /// What the logic must never do on the way and its state does not show; part of what tells nodes
  /// apart.
  struct Faults {
    bool not_as_remembered = false;
    bool timer_not_run = false;
  };
  /// What tells nodes apart.
  struct NodeKey {
    std::uint64_t state = 0;
    std::uint64_t progress = 0;
    /// That run already, and have not been looked at in the step that runs them.
    logic::TimerSet timers = 0;

    friend constexpr bool operator==(const NodeKey&, const NodeKey&) = default;
  };
  static std::uint64_t hash_of(const NodeKey& key) {
    return prove::hash_of(Key{key.state, key.progress ^ std::uint64_t{key.timers} << 40});
  }
  struct Node {
    logic::LogicState state;
    logic::Progress progress;  ///< its timers are those of the key
    Faults faults;
    NodeKey key;
    FactSet later = 0;
    Index first_branch = 0;
    Index end_branch = 0;
  };

  Index find_or_add(const logic::LogicState& state, const logic::Progress& progress,
                    const Faults& faults);
  void branch_out(Index node);
  /// What branch_out() did for one reading.
  struct Taken {
    Reading reading;
    unsigned steps = 0;
    const logic::LogicState& after;
    const logic::Progress& progress;
  };
  bool keeps_timers(const logic::LogicState& from, const logic::Progress& begun,
                    const Taken& taken);

  logic::Logic logic_;
  Reading assumed_;
  bool alike_;
  bool merging_ = false;  ///< the state to begin with has no first-out yet
  bool first_outs_differ_ = false;
  Adversary adversary_;
  std::vector<Node> nodes_;
  std::vector<Branch> branches_;
  std::vector<Index> order_;
  std::vector<Index> leaves_;
  std::vector<std::vector<Index>>
      waiting_;  ///< nodes to be branched out, by how far a scan is there
  Slots slots_;
  std::uint64_t first_outs_ = 0;
  std::uint64_t steps_ = 0;
};

}  // namespace ovenproof::prove

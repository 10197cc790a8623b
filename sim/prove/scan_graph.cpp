#include "sim/prove/scan_graph.hpp"

#include <bit>

#include "sim/prove/fixed_facts.hpp"
#include "sim/prove/packed_state.hpp"

namespace ovenproof::prove {
namespace {

using logic::Cause;
using logic::Progress;
using logic::Step;

constexpr unsigned trip_count = logic::first_inhibit;

/// Grows from step to step.
std::size_t distance(const Progress& progress) {
  const auto step = static_cast<std::size_t>(progress.next);
  if (progress.next != Step::trips) return trip_count + step;
  return std::min<std::size_t>(std::countr_zero(progress.trips), trip_count);
}

constexpr std::size_t distances = trip_count + static_cast<std::size_t>(Step::done) + 1;

/// All of it but the timers and what the state says as well.
template <class Faults>
std::uint64_t pack(const Progress& progress, const Faults& faults) {
  const logic::Commands& c = progress.commands;
  const unsigned flags = (c.programme_restart ? 1U : 0U) | (c.programme_advance ? 2U : 0U) |
                         (c.count_purge ? 4U : 0U) | (c.acknowledge ? 8U : 0U);
  const unsigned edges = (progress.edges.start ? 1U : 0U) | (progress.edges.reset ? 2U : 0U) |
                         (progress.edges.door_closed ? 4U : 0U);
  static_assert(trip_count <= 50);
  return std::uint64_t{edges} << 50 | (faults.not_as_remembered ? std::uint64_t{1} << 54 : 0) |
         (faults.timer_not_run ? std::uint64_t{1} << 55 : 0) | progress.trips |
         std::uint64_t{flags} << 56 | static_cast<std::uint64_t>(progress.next) << 60;
}

}  // namespace

ScanGraph::ScanGraph(const logic::Options& options, const Reading& assumed, bool alike)
    : logic_(options),
      assumed_{assumed.known | excluded_by(assumed.value), assumed.value},
      alike_(alike),
      waiting_(distances) {}

ScanGraph::Index ScanGraph::find_or_add(const logic::LogicState& state, const Progress& progress,
                                        const Faults& faults) {
  const std::uint64_t packed = prove::pack(state);
  const NodeKey key{merging_ ? with_representative(packed) : packed, pack(progress, faults),
                    progress.commands.timers};
  std::uint32_t& slot =
      slots_.find(hash_of(key), [&](std::uint32_t i) { return nodes_[i].key == key; });
  if (slot != Slots::empty) return slot;
  const auto made = static_cast<Index>(nodes_.size());
  slot = made;
  nodes_.push_back({merging_ ? unpack(key.state) : state, progress, faults, key, 0, 0, 0});
  waiting_[distance(progress)].push_back(made);
  slots_.grow_for(nodes_.size(), [&](std::uint32_t i) { return hash_of(nodes_[i].key); });
  return made;
}

/// Takes the steps once more, with all timers said to run and with another first-out of those that
/// count as one. Whether no timer was taken back; notes whether the first-out made a difference.
bool ScanGraph::keeps_timers(const logic::LogicState& from, const Progress& begun,
                             const Taken& taken) {
  constexpr auto all_timers =
      static_cast<logic::TimerSet>((std::uint64_t{1} << logic::timer_count) - 1);
  const Cause one = from.memory.first_out;
  const Cause other = alike_ ? another_like(one) : one;
  logic::LogicState state = from;
  state.memory.first_out = other;
  Progress progress = begun;
  progress.commands.timers = all_timers;
  logic_.resume(state);
  const FixedFacts facts(taken.reading);
  for (unsigned n = 0; n < taken.steps; ++n) logic_.step(progress, facts.reader());

  const bool kept = progress.commands.timers == all_timers;
  // What it should be but for the timers.
  const auto turned = [&](Cause cause) { return cause == one ? other : cause; };
  logic::LogicState after = taken.after;
  Progress expected = taken.progress;
  after.memory.first_out = turned(after.memory.first_out);
  expected.commands.first_out = turned(expected.commands.first_out);
  expected.commands.timers = progress.commands.timers;
  const Cause then = taken.after.memory.first_out;
  const bool overwritten = one != Cause::none && then != Cause::none && then != one;
  if (alike_ &&
      (overwritten || facts.guessed() || logic_.state() != after || progress != expected)) {
    first_outs_differ_ = true;
  }
  return kept;
}

void ScanGraph::branch_out(Index node) {
  const logic::LogicState node_state = nodes_[node].state;
  const Progress node_progress = nodes_[node].progress;
  logic::LogicState from = node_state;
  Progress begun = node_progress;
  unsigned silent = 0;  // steps before `from`
  const Faults faults_before = nodes_[node].faults;
  const logic::Cause first_out = from.memory.first_out;
  const auto first = static_cast<Index>(branches_.size());
  adversary_.begin(assumed_);
  do {
    logic_.resume(from);
    Progress progress = begun;
    unsigned steps = silent;
    // Steps that look at no fact, or at one that never changes, make no node. The other branches
    // begin behind them.
    while (true) {
      logic_.step(progress, adversary_.facts());
      ++steps_;
      ++steps;
      if (progress.next == Step::done || (adversary_.looked_at() & ~assumed_.known) != 0) break;
      from = logic_.state();
      begun = progress;
      silent = steps;
    }
    const logic::LogicState after = logic_.state();
    Faults faults = faults_before;
    const FactSet looked_at = adversary_.looked_at() & ~assumed_.known;
    if (!timers_run(progress.commands, looked_at)) faults.timer_not_run = true;
    if (progress.next == Step::done && !as_remembered(after, progress.commands)) {
      faults.not_as_remembered = true;
    }
    Reading reading = adversary_.reading();
    reading.known |= excluded_by(reading.value);
    const logic::Cause tripped_by =
        first_out == logic::Cause::none ? after.memory.first_out : logic::Cause::none;
    if (tripped_by != logic::Cause::none) {
      first_outs_ |= std::uint64_t{1} << static_cast<unsigned>(tripped_by);
    }
    if (!keeps_timers(node_state, node_progress, {reading, steps, after, progress})) {
      faults.timer_not_run = true;
    }
    // A timer is looked at by the step that runs it or by a later one, which must find it running.
    const logic::TimerSet before = node_progress.commands.timers;
    const logic::TimerSet runs = progress.commands.timers & ~before;
    progress.commands.timers =
        progress.next == Step::done
            ? 0
            : before | (runs & ~static_cast<logic::TimerSet>(looked_at >> logic::plain_fact_count));
    const Index to = find_or_add(after, progress, faults);
    branches_.push_back({reading, to, tripped_by, runs});
  } while (adversary_.next());
  nodes_[node].first_branch = first;
  nodes_[node].end_branch = static_cast<Index>(branches_.size());
}

void ScanGraph::build(std::uint64_t from) {
  nodes_.clear();
  branches_.clear();
  order_.clear();
  leaves_.clear();
  slots_.clear();
  first_outs_ = 0;
  const logic::LogicState state = unpack(from);
  merging_ = alike_ && state.memory.first_out == logic::Cause::none;
  logic_.resume(state);
  find_or_add(state, logic_.begin(), {});
  for (std::vector<Index>& nodes : waiting_) {
    // A step only goes further, so nobody adds to `nodes` any more.
    for (const Index node : nodes) {
      order_.push_back(node);
      if (is_leaf(node)) {
        leaves_.push_back(node);
      } else {
        branch_out(node);
      }
    }
    nodes.clear();
  }
  for (auto node = order_.rbegin(); node != order_.rend(); ++node) {
    FactSet later = 0;
    for (Index b = begin(*node); b != end(*node); ++b) {
      later |= branches_[b].reading.known | nodes_[branches_[b].to].later;
    }
    nodes_[*node].later = later & ~assumed_.known;
  }
}

Answer ScanGraph::answer(Index leaf) const {
  const Node& node = nodes_[leaf];
  Answer answer = answer_of(node.state, node.progress.commands, 0);
  answer.as_remembered = !node.faults.not_as_remembered;
  answer.timers_run = !node.faults.timer_not_run;
  return answer;
}

}  // namespace ovenproof::prove

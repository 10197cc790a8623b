#include "sim/prove/fact_walk.hpp"

#include <bit>

namespace ovenproof::prove {

void FactWalk::begin(const ScanGraph& graph, std::span<const Question> questions) {
  graph_ = &graph;
  wanted_.assign(graph.size(), 0);
  first_.resize(graph.size());
  last_.resize(graph.size());

  for (; asked_ != 0; asked_ &= asked_ - 1) {
    const auto fact = static_cast<std::size_t>(std::countr_zero(asked_));
    denied_[0][fact] = denied_[1][fact] = 0;
  }
  denied_by_cause_.fill(0);
  denied_by_timer_.fill(0);
  met_by_timer_.fill(0);
  one_timer_ = several_timers_ = 0;
  for (std::size_t n = 0; n < questions.size(); ++n) {
    const Question& question = questions[n];
    const std::uint64_t self = std::uint64_t{1} << n;
    asked_ |= question.facts.known;
    for (FactSet left = question.facts.known; left != 0; left &= left - 1) {
      const auto fact = static_cast<std::size_t>(std::countr_zero(left));
      denied_[(question.facts.value >> fact & 1U) != 0 ? 0 : 1][fact] |= self;
    }
    for (logic::TimerSet left = question.timers.known; left != 0; left &= left - 1) {
      const auto timer = static_cast<std::size_t>(std::countr_zero(left));
      const bool must_run = (question.timers.value >> timer & 1U) != 0;
      (must_run ? met_by_timer_ : denied_by_timer_)[timer] |= self;
    }
    const int must_run = std::popcount(question.timers.value);
    if (must_run == 1) one_timer_ |= self;
    if (must_run > 1) several_timers_ |= self;
    if (question.tripped_by == logic::Cause::none) continue;
    for (std::size_t cause = 0; cause < logic::cause_count; ++cause) {
      if (cause != static_cast<std::size_t>(question.tripped_by)) denied_by_cause_[cause] |= self;
    }
  }
}

std::uint64_t FactWalk::denied_by(const ScanGraph::Branch& branch) const {
  std::uint64_t denied = 0;
  for (FactSet left = branch.reading.known & asked_; left != 0; left &= left - 1) {
    const auto fact = static_cast<std::size_t>(std::countr_zero(left));
    denied |= denied_[branch.reading.value >> fact & 1U][fact];
  }
  if (branch.tripped_by != logic::Cause::none) {
    denied |= denied_by_cause_[static_cast<std::size_t>(branch.tripped_by)];
  }
  for (logic::TimerSet left = branch.runs; left != 0; left &= left - 1) {
    denied |= denied_by_timer_[static_cast<std::size_t>(std::countr_zero(left))];
  }
  return denied;
}

/// Questions whose timers were carried along and have not all been run.
std::uint64_t FactWalk::unmet(logic::TimerSet ran) const {
  std::uint64_t questions = 0;
  for (std::size_t timer = 0; timer < logic::timer_count; ++timer) {
    if ((ran >> timer & 1U) == 0) questions |= met_by_timer_[timer];
  }
  return questions & carrying_for_;
}

FactWalk::Index FactWalk::arrive(Index node, const Arrival& arrival) {
  for (Index i = first_[node]; i != none; i = arrivals_[i].next) {
    Arrival& known = arrivals_[i];
    if (known.told == arrival.told && known.tripped_by == arrival.tripped_by &&
        known.ran == arrival.ran) {
      known.yes |= arrival.yes;
      known.waiting |= arrival.waiting;
      known.scans += arrival.scans;
      return i;
    }
  }
  const auto made = static_cast<Index>(arrivals_.size());
  (first_[node] == none ? first_[node] : arrivals_[last_[node]].next) = made;
  last_[node] = made;
  arrivals_.push_back(arrival);
  return made;
}

void FactWalk::walk(const Baggage& baggage) {
  const std::vector<Index>& order = graph_->in_order();
  for (auto node = order.rbegin(); node != order.rend(); ++node) {
    for (Index b = graph_->begin(*node); b != graph_->end(*node); ++b) {
      wanted_[*node] |= wanted_[graph_->branch(b).to];
    }
    first_[*node] = none;
  }

  carrying_for_ = baggage.timers ? one_timer_ | several_timers_ : several_timers_;
  logic::TimerSet carried_timers = 0;
  for (std::size_t timer = 0; timer < logic::timer_count; ++timer) {
    if ((met_by_timer_[timer] & carrying_for_) != 0) {
      carried_timers |= bit(static_cast<logic::Timer>(timer));
    }
  }

  arrivals_.clear();
  const Index root = order.front();
  const std::uint64_t waits = one_timer_ & ~carrying_for_;
  arrive(root, {{},
                wanted_[root] & ~waits,
                wanted_[root] & waits,
                0,
                1,
                logic::Cause::none,
                none,
                none,
                none});
  for (const Index node : order) {
    if (first_[node] == none) continue;
    for (Index b = graph_->begin(node); b != graph_->end(node); ++b) {
      const ScanGraph::Branch& branch = graph_->branch(b);
      const std::uint64_t wanted = wanted_[branch.to] & ~denied_by(branch);
      if (wanted == 0) continue;
      const FactSet carried = baggage.facts | graph_->later(branch.to);
      const Reading read = branch.reading.of(carried);
      const bool trips = baggage.first_out && branch.tripped_by != logic::Cause::none;
      std::uint64_t met = 0;
      for (logic::TimerSet left = branch.runs; left != 0; left &= left - 1) {
        met |= met_by_timer_[static_cast<std::size_t>(std::countr_zero(left))];
      }
      for (Index i = first_[node]; i != none; i = arrivals_[i].next) {
        const Arrival& a = arrivals_[i];
        if (((a.yes | a.waiting) & wanted) == 0) continue;
        // They look at the same fact and see it differently: no scan goes this way.
        const FactSet both = a.told.known & branch.reading.known;
        if ((both & (a.told.value ^ branch.reading.value)) != 0) continue;
        const logic::TimerSet ran = a.ran | (branch.runs & carried_timers);
        std::uint64_t yes = (a.yes | (a.waiting & met)) & wanted;
        if (carrying_for_ != 0 && graph_->is_leaf(branch.to)) yes &= ~unmet(ran);
        const Index to =
            arrive(branch.to, {a.told.of(carried) | read, yes, a.waiting & wanted & ~met, ran,
                               a.scans, trips ? branch.tripped_by : a.tripped_by, none, i, b});
        if (collecting_) taken_.push_back({i, b, to});
      }
    }
  }
}

std::vector<FactWalk::WholeWay> FactWalk::ways_over_all_branches(const ScanGraph& graph) {
  const Question any_scan;
  begin(graph, {&any_scan, 1});
  for (const Index leaf : graph.leaves()) want(leaf, 1);
  taken_.clear();
  collecting_ = true;
  walk({});
  collecting_ = false;

  // What is read from the beginning to each arrival on its first way, and on one way from there to
  // a leaf. Any of the one goes with any of the other: what both read is carried along.
  constexpr WholeWay nothing{{}, 0, logic::Cause::none, none};
  const auto with = [&graph](WholeWay way, Index branch) {
    const ScanGraph::Branch& taken = graph.branch(branch);
    way.reading = way.reading | taken.reading;
    way.timers |= taken.runs;
    if (taken.tripped_by != logic::Cause::none) way.tripped_by = taken.tripped_by;
    return way;
  };
  std::vector<WholeWay> before(arrivals_.size(), nothing);
  for (Index i = 0; i < arrivals_.size(); ++i) {
    const Arrival& a = arrivals_[i];
    if (a.from != none) before[i] = with(before[a.from], a.branch);
  }
  std::vector<WholeWay> after(arrivals_.size(), nothing);
  for (auto taken = taken_.rbegin(); taken != taken_.rend(); ++taken) {
    if (graph.is_leaf(graph.branch(taken->branch).to))
      after[taken->to].leaf = graph.branch(taken->branch).to;
    after[taken->from] = with(after[taken->to], taken->branch);
  }
  std::vector<WholeWay> ways;
  Index last = none;
  for (const Taken& taken : taken_) {
    if (taken.branch == last) continue;  // from another arrival
    last = taken.branch;
    WholeWay way = with(before[taken.from], taken.branch);
    const WholeWay& rest = after[taken.to];
    way.reading = way.reading | rest.reading;
    way.timers |= rest.timers;
    if (rest.tripped_by != logic::Cause::none) way.tripped_by = rest.tripped_by;
    way.leaf = rest.leaf;
    ways.push_back(way);
  }
  return ways;
}

Reading FactWalk::whole(Index arrival) const {
  Reading reading;
  for (Index i = arrival; arrivals_[i].from != none; i = arrivals_[i].from) {
    reading = reading | graph_->branch(arrivals_[i].branch).reading;
  }
  return reading;
}

logic::TimerSet FactWalk::timers_on_the_way(Index arrival) const {
  logic::TimerSet timers = 0;
  for (Index i = arrival; arrivals_[i].from != none; i = arrivals_[i].from) {
    timers |= graph_->branch(arrivals_[i].branch).runs;
  }
  return timers;
}

}  // namespace ovenproof::prove

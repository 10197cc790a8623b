#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "sim/prove/scan_graph.hpp"

namespace ovenproof::prove {

/// A question about a scan: is there one in which these facts have these values, and these timers
/// run or do not?
struct Question {
  Reading facts;                                 ///< with what they exclude
  logic::Cause tripped_by = logic::Cause::none;  ///< and this is the first-out; none: any
  TimerReading timers{};

  friend constexpr bool operator==(const Question&, const Question&) = default;
};

/// Walks once through the graph of a scan for up to 64 questions, and finds for each leaf which of
/// them some scan that comes to it answers with yes.
///
/// Carried along are the facts that are looked at again later, so that a step sees what an earlier
/// one saw, and for each combination of them the questions that can still be answered with yes. All
/// other facts are forgotten as soon as they are read. A question that wants one timer to run waits
/// until a step runs it; for one that wants several, all of these are carried along.
class FactWalk {
 public:
  using Index = ScanGraph::Index;
  static constexpr Index none = UINT32_MAX;

  /// Scans that came to a node and are alike in what is carried along.
  struct Arrival {
    Reading told;
    std::uint64_t yes;        ///< bit n: some of them answer question n with yes
    std::uint64_t waiting;    ///< bit n: some of them do, if its timer is run later
    logic::TimerSet ran;      ///< of the timers carried along
    std::uint64_t scans;      ///< how many they are
    logic::Cause tripped_by;  ///< if it is carried along, the first-out that came
    Index next;               ///< arrival at the same node; none: the last
    Index from;               ///< arrival that the first of them was
    Index branch;             ///< and the branch it took
  };

  /// What is carried along in addition to the facts that are looked at again.
  struct Baggage {
    FactSet facts = 0;
    bool first_out = false;
    bool timers = false;  ///< all that a question wants to run, also where it is only one
  };

  /// Begins with questions of which no leaf wants to know.
  void begin(const ScanGraph& graph, std::span<const Question> questions);
  /// The leaf wants to know of these, bit n for question n.
  void want(Index leaf, std::uint64_t questions) { wanted_[leaf] |= questions; }
  void walk(const Baggage& baggage);

  /// One whole way through the scan, that some scan goes.
  struct WholeWay {
    Reading reading;          ///< all that is read on it
    logic::TimerSet timers;   ///< that are run on it
    logic::Cause tripped_by;  ///< the first-out, if it comes on it
    Index leaf;
  };
  /// Walks with no question and no baggage. Ways that together go over every branch that a scan can
  /// take.
  [[nodiscard]] std::vector<WholeWay> ways_over_all_branches(const ScanGraph& graph);

  [[nodiscard]] Index first_at(Index node) const { return first_[node]; }
  [[nodiscard]] const Arrival& arrival(Index index) const { return arrivals_[index]; }
  /// All that was read on the way of one of its scans; with only one question, of one that answers
  /// it with yes.
  [[nodiscard]] Reading whole(Index arrival) const;
  /// The timers that were run on that way.
  [[nodiscard]] logic::TimerSet timers_on_the_way(Index arrival) const;

 private:
  [[nodiscard]] std::uint64_t denied_by(const ScanGraph::Branch& branch) const;
  [[nodiscard]] std::uint64_t unmet(logic::TimerSet ran) const;
  Index arrive(Index node, const Arrival& arrival);

  const ScanGraph* graph_ = nullptr;
  FactSet asked_ = 0;                                      ///< facts that questions speak of
  std::array<std::array<std::uint64_t, 64>, 2> denied_{};  ///< by value and fact: questions
  std::array<std::uint64_t, logic::cause_count> denied_by_cause_{};
  std::array<std::uint64_t, logic::timer_count> denied_by_timer_{};  ///< must not run for these
  std::array<std::uint64_t, logic::timer_count> met_by_timer_{};     ///< must run for these
  std::uint64_t one_timer_ = 0;        ///< questions that want one timer to run
  std::uint64_t several_timers_ = 0;   ///< and those that want several
  std::uint64_t carrying_for_ = 0;     ///< those whose timers are carried along
  std::vector<std::uint64_t> wanted_;  ///< by node: questions of leaves it leads to
  std::vector<Index> first_;
  std::vector<Index> last_;
  std::vector<Arrival> arrivals_;
  /// A branch taken from an arrival, and the arrival that it leads to.
  struct Taken {
    Index from;
    Index branch;
    Index to;
  };
  std::vector<Taken> taken_;  ///< only while ways are collected
  bool collecting_ = false;
};

}  // namespace ovenproof::prove

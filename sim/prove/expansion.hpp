#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "firmware/logic/logic.hpp"
#include "sim/prove/adversary.hpp"
#include "sim/prove/coverage.hpp"
#include "sim/prove/fact_walk.hpp"
#include "sim/prove/history.hpp"
#include "sim/prove/packed_state.hpp"
#include "sim/prove/prospects.hpp"
#include "sim/prove/rerun.hpp"
#include "sim/prove/scan_graph.hpp"
#include "sim/prove/signals.hpp"

namespace ovenproof::prove {

/// What is explored.
struct Subject {
  logic::Options options;
  Reading assumed =
      {};  ///< facts that never change; everything proved holds only while they do not
  /// States that differ only in which cause is the first-out count as one, unless a property or the
  /// logic tells them apart. See with_representative().
  bool merge_first_outs = true;

  [[nodiscard]] bool merges(const Histories& histories) const {
    return merge_first_outs && !histories.tell_first_outs_apart();
  }
};

/// What all scans from one state come to.
struct Expanded {
  std::vector<Key> next;         ///< always in the same order; some come several times
  Histories::Verdicts verdicts;  ///< of `premises`, those that no expansion before this one met
  bool as_explored = true;       ///< the scan that the controller calls does the same
};

/// One way in which a scan can go.
struct Way {
  Reading reading;         ///< facts of this scan that anybody looked at
  Reading reading_before;  ///< facts of the scan before that came to matter only now
};

/// Finds all ways on from a state. Not shared between threads, but for the store.
///
/// What a scan does to the memory and whether it violates a property is asked of the graph of the
/// scan as questions about few facts each, at every answer of the logic.
class Expansion {
 public:
  /// `histories` and `store` must outlive it. Expansions of one subject may share a store.
  Expansion(const Subject& subject, const Histories& histories, ProspectStore& store);

  /// Goes to a state of the logic, pack()ed.
  void enter(std::uint64_t logic);
  /// All scans from that state with this memory of the properties. What parts of the logic they
  /// show goes to `coverage`.
  void expand(std::uint64_t history, Coverage& coverage, Expanded& expanded);

  /// These premises were met elsewhere: they need not be looked for any more.
  void take_as_met(const ObligationSet& premises) { premises_met_ |= premises; }

  /// A scan that leads from one to the other.
  [[nodiscard]] std::optional<Way> way(const Key& from, const Key& to);
  /// A scan from there that violates the property.
  [[nodiscard]] std::optional<Way> way_to_violate(const Key& from, std::size_t property);
  /// The logic tells first-outs apart that were merged: nothing that was found counts.
  [[nodiscard]] bool first_outs_differ() const {
    return first_outs_differ_ || graph_.first_outs_differ();
  }

  /// Scans that differ in what the logic looked at or saw.
  [[nodiscard]] std::uint64_t scans() const { return scans_; }
  /// Steps of scans that were run for them.
  [[nodiscard]] std::uint64_t steps() const { return graph_.steps(); }
  /// Answers of the logic that were judged, each once for a state.
  [[nodiscard]] std::uint64_t transitions() const { return transitions_; }

 private:
  /// One answer of the logic, and what may become of the properties with it.
  struct Leaf {
    ScanGraph::Index node = 0;
    std::uint64_t next = 0;  ///< state that stands for the one it left
    ToldValues now{};
    std::uint32_t group = 0;
    std::optional<FactSet> covers;  ///< facts on which it hangs what new the coverage sees
    FactSet can_be_true = 0;        ///< of these
    FactSet can_be_false = 0;
    std::optional<FactSet> differs;  ///< facts with which Logic::scan() does something else
  };
  /// Leaves with the same prospect.
  struct Group {
    std::uint32_t prospect = 0;
    std::size_t first_place = 0;  ///< of those of its cases; see places_
    std::uint64_t wanted = 0;     ///< questions of a batch that it asks
    std::uint64_t yes = 0;        ///< and those that were answered with yes
  };
  static constexpr std::size_t at_a_time = 64;

  void build(std::uint64_t logic);
  void run_again();
  [[nodiscard]] std::optional<Way> way_to_violate(const Leaf& leaf, std::size_t obligation);
  void look_ahead(std::uint64_t history);
  std::size_t ask(std::uint32_t question);
  template <class Use>
  void each_case(const Prospect& prospect, Use use) const;
  [[nodiscard]] const Prospect& prospect_of(const Leaf& leaf) const {
    return prospects_.at(groups_[leaf.group].prospect);
  }
  template <class Use>
  bool each_arrival(const Leaf& leaf, Use use) const;
  void ask_what_is_covered(const Coverage& coverage);
  void note_facts(Leaf& leaf, std::size_t first, std::uint64_t yes) const;
  void answer(std::size_t batch, Expanded& expanded);
  void judge(const Group& group, std::size_t batch, std::size_t first,
             Histories::Verdicts& verdicts) const;
  [[nodiscard]] std::uint64_t kept_bits(const Prospect& prospect, const Prospect::Case& way,
                                        const FactWalk::Arrival& arrival) const;
  void cover(Coverage& coverage);
  [[nodiscard]] std::optional<Way> way_with(const Leaf& leaf, const Prospect::Case& with,
                                            std::optional<std::uint64_t> kept);

  logic::Options options_;
  const Histories& histories_;
  Reading assumed_;
  bool merging_;
  ScanGraph graph_;
  FactWalk walk_;
  Rerun rerun_;
  bool first_outs_differ_ = false;
  Prospects prospects_;
  std::uint64_t from_ = 0;  ///< the state of the logic whose graph it is
  ToldValues before_{};
  std::vector<Leaf> leaves_;  ///< the first `leaf_count_` are of this expansion
  std::size_t leaf_count_ = 0;
  std::vector<Group> groups_;            ///< of these leaves
  std::vector<std::uint32_t> group_of_;  ///< by the number of a prospect
  std::vector<std::uint32_t> places_;    ///< of cases among the questions, group by group
  std::vector<Question> questions_;      ///< asked from this state
  std::vector<std::uint32_t> asked_as_;  ///< by its number: where a question is among them
  std::vector<std::uint32_t> asked_;     ///< numbers of those that are
  FactSet keep_ = 0;                     ///< facts that are kept after any answer
  ObligationSet premises_met_;           ///< so far, from any state
  FactSet covers_ = 0;                   ///< facts on which it hangs what the coverage sees
  std::size_t covers_at_ = 0;            ///< where the questions about them begin: two for each
  bool covered_ = false;                 ///< this state of the logic
  std::vector<std::uint64_t> memories_;
  std::uint64_t scans_ = 0;
  std::uint64_t transitions_ = 0;
};

}  // namespace ovenproof::prove

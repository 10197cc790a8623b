#pragma once
#include <cstdint>
#include <vector>

#include "firmware/logic/logic.hpp"
#include "sim/prove/adversary.hpp"
#include "sim/prove/history.hpp"
#include "sim/prove/packed_state.hpp"
#include "sim/prove/signals.hpp"

namespace ovenproof::prove {

/// What is explored.
struct Subject {
  logic::Options options;
  Reading assumed =
      {};  ///< facts that never change; everything proved holds only while they do not
  /// States that differ only in which cause is the first-out count as one, unless a property tells
  /// them apart. See with_representative().
  bool merge_first_outs = true;

  [[nodiscard]] bool merges(const Histories& histories) const {
    return merge_first_outs && !histories.tell_first_outs_apart();
  }
};

/// One way in which a scan can go, as far as anybody can tell it from another.
struct Way {
  Key next;
  Answer answer;
  Reading reading;         ///< facts of this scan that anybody looked at
  Reading reading_before;  ///< facts of the scan before that came to matter only now
  Histories::Verdicts verdicts;
};

/// An index into what an open-addressing table refers to; the table itself knows only slots.
class Slots {
 public:
  /// Empties the table, with room for at least `items`.
  void clear(std::size_t items = 0);
  /// The slot of an item with this hash for which `same(index)` holds, or the empty one for it.
  template <class Same>
  std::uint32_t& find(std::uint64_t hash, Same same) {
    const std::size_t mask = slots_.size() - 1;
    std::size_t slot = hash & mask;
    while (slots_[slot] != empty && !same(slots_[slot])) slot = (slot + 1) & mask;
    return slots_[slot];
  }
  [[nodiscard]] bool crowded(std::size_t items) const { return 2 * items > slots_.size(); }

  static constexpr std::uint32_t empty = UINT32_MAX;

 private:
  std::vector<std::uint32_t> slots_;
};

/// Finds all ways on from a state. Not shared between threads.
///
/// First the logic is run with every combination of the facts that it looks at. Of the runs that
/// answer the same, and agree in the facts on which something that is to be proved hangs after this
/// answer, one is enough to judge. Only then do the properties look at what facts they need beside.
class Expansion {
 public:
  /// `histories` must outlive it.
  Expansion(const Subject& subject, const Histories& histories);

  /// What the logic did with one combination of facts.
  struct Run {
    logic::LogicState after;
    Answer answer;
    Reading reading;
  };

  /// Calls `use(const Way&)` for each way, always in the same order, until it returns false. Calls
  /// `see(const Run&)` for each run of the logic.
  template <class See, class Use>
  void expand(const Key& from, See see, Use use) {
    begin(from);
    const logic::LogicState state = unpack(from.logic);
    adversary_.begin(assumed_);
    do {
      logic_.resume(state);
      const logic::Commands commands = logic_.scan(adversary_.facts());
      ++scans_;
      const logic::LogicState after = logic_.state();
      const Run run{after, answer_of(after, commands), adversary_.reading()};
      see(run);
      note(run, from);
    } while (adversary_.next());

    const Reading kept = histories_.kept_reading(from.history);
    for (const Distinct& run : distinct_) {
      const Answered& answered = answers_[run.answer];
      adversary_.begin(run.told | assumed_, kept);
      do {
        const Histories::Step step =
            histories_.step(before_, answered.now, from.history, answered.outlook, adversary_);
        ++judgements_;
        const Way way{{answered.next, step.bits},
                      answered.answer,
                      run.whole | adversary_.reading(),
                      adversary_.reading_before(),
                      step.verdicts};
        if (!use(way)) return;
      } while (adversary_.next());
    }
  }

  [[nodiscard]] std::uint64_t scans() const { return scans_; }
  [[nodiscard]] std::uint64_t judgements() const { return judgements_; }

 private:
  struct Answered {
    Answer answer;
    std::uint64_t next;  ///< state that stands for the one it left
    ToldValues now;
    Histories::Outlook outlook;
  };
  /// Runs that nobody can tell apart.
  struct Distinct {
    std::uint32_t answer;  ///< index
    Reading told;          ///< facts on which something hangs
    Reading whole;         ///< of the first of the runs
  };

  void begin(const Key& from);
  void note(const Run& run, const Key& from);
  std::uint32_t index_of(const Answer& answer, const Key& from);
  static std::uint64_t hash_of_answer(const Answer& answer);
  static std::uint64_t hash_of_run(std::uint32_t answer, const Reading& told);

  logic::Options options_;
  const Histories& histories_;
  Reading assumed_;
  bool merging_;
  logic::Logic logic_;
  Adversary adversary_;
  ToldValues before_{};
  std::vector<Answered> answers_;  ///< the first `answer_count_` are of this expansion
  std::size_t answer_count_ = 0;
  Slots answer_slots_;
  std::vector<Distinct> distinct_;  ///< in the order of their first appearance
  Slots distinct_slots_;
  std::uint64_t scans_ = 0;
  std::uint64_t judgements_ = 0;
};

}  // namespace ovenproof::prove

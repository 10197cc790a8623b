#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "sim/prove/adversary.hpp"
#include "sim/prove/fact_walk.hpp"
#include "sim/prove/history.hpp"
#include "sim/prove/packed_state.hpp"
#include "sim/prove/signals.hpp"
#include "sim/prove/slots.hpp"

namespace ovenproof::prove {

/// What can become of the properties and of their memory in a scan, for what it told, what the scan
/// before told, and the memory before it. Facts decide which of that does.
struct Prospect {
  /// It becomes so if the question is answered with yes.
  struct Case {
    std::uint32_t question = 0;  ///< number of it, see Prospects::question()
    Reading before;              ///< facts that the scan before must have had, of those still free
  };
  struct Remembered : Case {
    std::uint64_t bits = 0;  ///< the memory after the scan, but for the facts kept
  };
  struct Judged : Case {
    bool violated = false;  ///< otherwise: its premise happens
  };
  struct Open {
    std::size_t property = 0;
    bool can_be_violated = false;
    std::vector<Judged> cases;
  };

  Key key;                          ///< what both scans told, and the memory
  Histories::Verdicts verdicts;     ///< of the properties that hang on no fact
  FactSet keep = 0;                 ///< facts to be kept in the memory
  std::uint32_t memory = 0;         ///< see Prospects::memory()
  std::vector<std::uint32_t> open;  ///< see Prospects::open()
};

/// Works out prospects, each once: states of the logic that differ only in what no property speaks
/// of have the same. Not shared between threads.
class Prospects {
 public:
  /// `histories` must outlive it. `alike`: see ScanGraph.
  Prospects(const Histories& histories, bool alike);

  /// A number for the prospect; at() gives it. Numbers hold until forget_some().
  std::uint32_t find(const ToldValues& before, const ToldValues& now, std::uint64_t bits);
  [[nodiscard]] const Prospect& at(std::uint32_t number) const { return all_[number]; }
  /// Of a prospect, by the numbers in it.
  [[nodiscard]] const std::vector<Prospect::Remembered>& memory(std::uint32_t number) const {
    return memories_[number];
  }
  [[nodiscard]] const Prospect::Open& open(std::uint32_t number) const { return opens_[number]; }
  [[nodiscard]] const Question& question(std::uint32_t number) const { return questions_[number]; }
  [[nodiscard]] std::size_t question_count() const { return questions_.size(); }
  /// Keeps within bounds what is kept; prospects are worked out anew when they are asked for again.
  void forget_some();

 private:
  Prospect work_out(const Key& key, const ToldValues& before, const ToldValues& now);
  /// What the cases of a property, or of the memory, hang on; the same for many prospects.
  using Footing = std::array<std::uint64_t, 7>;
  struct Print {
    Histories::Footprint footprint;
    std::uint64_t told_mask;  ///< its part of a key
  };
  [[nodiscard]] Footing footing_of(const Print& print, std::uint64_t whose, const Key& key) const;
  std::uint32_t number_of(const Question& question);
  void forget_all();

  const Histories& histories_;
  bool alike_;
  std::vector<Print> prints_;  ///< of each property, and last of the memory
  std::vector<Prospect> all_;
  Slots slots_;
  std::vector<Prospect::Open> opens_;
  std::vector<Footing> open_footings_;  ///< of these
  Slots open_slots_;
  std::vector<std::vector<Prospect::Remembered>> memories_;
  std::vector<Footing> memory_footings_;  ///< of these
  Slots memory_slots_;
  std::vector<Question> questions_;
  Slots question_slots_;
  Histories::Outlook outlook_;
  Adversary adversary_;
};

}  // namespace ovenproof::prove

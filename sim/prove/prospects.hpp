#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "sim/prove/adversary.hpp"
#include "sim/prove/fact_walk.hpp"
#include "sim/prove/history.hpp"
#include "sim/prove/packed_state.hpp"
#include "sim/prove/shared_table.hpp"
#include "sim/prove/signals.hpp"

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
    std::size_t obligation = 0;
    bool can_be_violated = false;
    std::vector<Judged> cases;
  };

  Key key;                          ///< what both scans told, and the memory
  Histories::Verdicts verdicts;     ///< of the obligations that hang on no fact
  FactSet keep = 0;                 ///< facts to be kept in the memory
  std::uint32_t memory = 0;         ///< see Prospects::memory()
  std::vector<std::uint32_t> open;  ///< see Prospects::open()
};

/// What was worked out of prospects, by all threads together. It speaks of one set of properties.
class ProspectStore {
 public:
  /// Keeps within bounds what is kept; numbers hold until then. Not while a thread works.
  void forget_some();

 private:
  friend class Prospects;
  /// What the cases of a property, or of the memory, hang on; the same for many prospects.
  using Footing = std::array<std::uint64_t, 7>;
  struct OpenOn {
    Footing footing{};
    Prospect::Open open;
  };
  struct MemoryOn {
    Footing footing{};
    std::vector<Prospect::Remembered> memory;
  };

  SharedTable<Prospect> all_;
  SharedTable<OpenOn> opens_;
  SharedTable<MemoryOn> memories_;
  SharedTable<Question> questions_;
};

/// One thread's way to prospects. Each is worked out once: states of the logic that differ only in
/// what no property speaks of have the same.
class Prospects {
 public:
  /// `histories` and `store` must outlive it. `alike`: see ScanGraph.
  Prospects(const Histories& histories, bool alike, ProspectStore& store);

  /// A number for the prospect; at() gives it. `met`: see Histories::look_ahead().
  std::uint32_t find(const ToldValues& before, const ToldValues& now, std::uint64_t bits,
                     const ObligationSet& met);
  [[nodiscard]] const Prospect& at(std::uint32_t number) const { return store_.all_[number]; }
  /// Of a prospect, by the numbers in it.
  [[nodiscard]] const std::vector<Prospect::Remembered>& memory(std::uint32_t number) const {
    return store_.memories_[number].memory;
  }
  [[nodiscard]] const Prospect::Open& open(std::uint32_t number) const {
    return store_.opens_[number].open;
  }
  [[nodiscard]] const Question& question(std::uint32_t number) const {
    return store_.questions_[number];
  }
  [[nodiscard]] std::size_t question_count() const { return store_.questions_.size(); }

 private:
  using Footing = ProspectStore::Footing;
  struct Print {
    Histories::Footprint footprint;
    std::uint64_t told_mask;  ///< its part of a key
  };

  Prospect work_out(const Key& key, const ToldValues& before, const ToldValues& now,
                    const ObligationSet& met);
  [[nodiscard]] Footing footing_of(const Print& print, std::uint64_t whose, const Key& key) const;
  std::uint32_t number_of(const Question& question);

  const Histories& histories_;
  bool alike_;
  ProspectStore& store_;
  std::vector<Print> prints_;  ///< of each property, and last of the memory
  Histories::Outlook outlook_;
  Adversary adversary_;
};

}  // namespace ovenproof::prove

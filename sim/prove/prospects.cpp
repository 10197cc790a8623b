#include "sim/prove/prospects.hpp"

#include <algorithm>
#include <bit>

namespace ovenproof::prove {
namespace {

using logic::Cause;

constexpr std::size_t most_prospects = 1U << 16;
constexpr auto first_out_signal = static_cast<std::size_t>(Told::first_out);

/// What a scan told, but for the options, in 32 bits.
std::uint64_t pack(const ToldValues& told) {
  constexpr std::array<unsigned, 6> widths{4, 2, 2, 2, 6, 1};
  std::uint64_t bits = 0;
  unsigned at = 0;
  for (std::size_t i = 0; i < static_cast<std::size_t>(Told::oxygen_monitor); ++i) {
    bits |= std::uint64_t{told[i]} << at;
    at += i < widths.size() ? widths[i] : 1;
  }
  static_assert(17 + static_cast<unsigned>(Told::oxygen_monitor) - widths.size() <= 32);
  return bits;
}

/// The bits in which pack() has these signals, bit n for Told n.
std::uint64_t packed_mask(std::uint32_t signals) {
  ToldValues all{};
  for (std::size_t i = 0; i < told_count; ++i) all[i] = (signals >> i & 1U) != 0 ? 1 : 0;
  constexpr std::array<std::uint8_t, 5> widest{15, 3, 3, 3, 63};
  for (std::size_t i = 0; i < widest.size(); ++i) all[i] = all[i] != 0 ? widest[i] : 0;
  return pack(all);
}

std::uint64_t hash_of_all(const std::array<std::uint64_t, 7>& words) {
  std::uint64_t hash = 0;
  for (const std::uint64_t word : words) hash = hash_of(Key{hash, word});
  return hash;
}

/// All causes with the same representative, bit n for Cause n.
std::uint64_t alike(Cause first_out) {
  std::uint64_t causes = 0;
  for (std::size_t i = 0; i < logic::cause_count; ++i) {
    if (representative(static_cast<Cause>(i)) == representative(first_out)) {
      causes |= std::uint64_t{1} << i;
    }
  }
  return causes;
}

Cause cause_of(const ToldValues& told) { return static_cast<Cause>(told[first_out_signal]); }

template <class Read>
bool contradict(const Read& a, const Read& b) {
  return (a.known & b.known & (a.value ^ b.value)) != 0;
}

/// One way in which facts can decide something, and how.
struct Decided {
  Question now;
  Reading before;
  std::uint64_t outcome;
};

bool can_both_be(const Decided& a, const Decided& b) {
  return !contradict(a.now.facts, b.now.facts) && !contradict(a.now.timers, b.now.timers) &&
         !contradict(a.before, b.before) &&
         (a.now.tripped_by == Cause::none || b.now.tripped_by == Cause::none ||
          a.now.tripped_by == b.now.tripped_by);
}

/// Takes facts of this scan out of each way as long as it still decides what it did, so that few
/// and simple questions are left. `all` are all ways there are.
std::vector<Decided> simplified(const std::vector<Decided>& all) {
  std::vector<Decided> simple;
  for (Decided way : all) {
    const auto decides = [&](const Decided& tried) {
      return std::none_of(all.begin(), all.end(), [&](const Decided& other) {
        return other.outcome != tried.outcome && can_both_be(tried, other);
      });
    };
    for (FactSet left = way.now.facts.known; left != 0; left &= left - 1) {
      const FactSet fact = left & ~(left - 1);
      Decided tried = way;
      tried.now.facts = tried.now.facts.of(~fact);
      if (decides(tried)) way = tried;
    }
    for (logic::TimerSet left = way.now.timers.known; left != 0; left &= left - 1) {
      const logic::TimerSet timer = left & ~(left - 1);
      Decided tried = way;
      tried.now.timers.known &= ~timer;
      tried.now.timers.value &= ~timer;
      if (decides(tried)) way = tried;
    }
    const bool known = std::any_of(simple.begin(), simple.end(), [&](const Decided& other) {
      return other.now == way.now && other.before == way.before && other.outcome == way.outcome;
    });
    if (!known) simple.push_back(way);
  }
  return simple;
}

}  // namespace

void ProspectStore::forget_some() {
  if (all_.size() < most_prospects) return;
  all_.clear();
  opens_.clear();
  memories_.clear();
  questions_.clear();
}

Prospects::Prospects(const Histories& histories, bool alike, ProspectStore& store)
    : histories_(histories), alike_(alike), store_(store) {
  const auto add = [this](const Histories::Footprint& footprint) {
    prints_.push_back({footprint, packed_mask(footprint.told)});
  };
  for (std::size_t i = 0; i < histories.size(); ++i) add(histories.footprint(i));
  add(histories.memory_footprint());
}

std::uint32_t Prospects::find(const ToldValues& before, const ToldValues& now, std::uint64_t bits,
                              const ObligationSet& met) {
  const Key key{pack(before) | pack(now) << 32, bits};
  const std::uint64_t hash = hash_of(key);
  const auto is = [&key](const Prospect& other) { return other.key == key; };
  const std::uint32_t known = store_.all_.find(hash, is);
  if (known != SharedTable<Prospect>::none) return known;
  return store_.all_.add(hash, work_out(key, before, now, met), is);
}

std::uint32_t Prospects::number_of(const Question& question) {
  const TimerReading& timers = question.timers;
  const std::uint64_t hash =
      hash_of({question.facts.known ^ (std::uint64_t{timers.known} << 32 | timers.value),
               question.facts.value ^ static_cast<std::uint64_t>(question.tripped_by) << 57});
  return store_.questions_.add(hash, question,
                               [&](const Question& other) { return other == question; });
}

Prospects::Footing Prospects::footing_of(const Print& print, std::uint64_t whose,
                                         const Key& key) const {
  const Histories::Footprint& footprint = print.footprint;
  const Reading kept = histories_.kept_reading(key.history).of(footprint.before);
  constexpr std::uint64_t begun = 1;
  return {whose,
          key.logic & (print.told_mask | print.told_mask << 32),
          key.history & (footprint.operators | begun),
          outlook_.bits & footprint.operators,
          outlook_.open_operators & footprint.operators,
          kept.known,
          kept.value};
}

Prospect Prospects::work_out(const Key& key, const ToldValues& before, const ToldValues& now,
                             const ObligationSet& met) {
  const bool trips = cause_of(before) == Cause::none && cause_of(now) != Cause::none;
  const std::uint64_t first_outs = alike_ && trips ? alike(cause_of(now)) : 0;
  histories_.look_ahead({before, now, key.history}, outlook_, first_outs, met);

  const Reading kept = histories_.kept_reading(key.history);
  /// All ways in which `outcome(view)` is decided by the facts that it asks for.
  const auto ways = [&](FactSet facts, auto outcome) {
    std::vector<Decided> all;
    const auto with_cause = [&](Cause tripped_by) {
      ToldValues told = now;
      if (tripped_by != Cause::none) told[first_out_signal] = static_cast<std::uint8_t>(tripped_by);
      adversary_.begin({}, kept);
      do {
        const std::uint64_t decided = outcome(Histories::View{before, told, key.history});
        const Reading& r = adversary_.reading();
        all.push_back({{{r.known | excluded_by(r.value), r.value}, tripped_by, adversary_.timers()},
                       adversary_.reading_before(),
                       decided});
      } while (adversary_.next());
    };
    if ((facts & which_first_out) == 0) with_cause(Cause::none);
    for (std::uint64_t left = (facts & which_first_out) != 0 ? first_outs : 0; left != 0;
         left &= left - 1) {
      with_cause(static_cast<Cause>(std::countr_zero(left)));
    }
    return simplified(all);
  };

  Prospect prospect;
  prospect.key = key;
  prospect.verdicts = outlook_.verdicts;
  prospect.keep = outlook_.keep;
  const auto remember = [&](const Histories::View& view) {
    return histories_.remember(view, outlook_, adversary_);
  };
  const bool names_cause = (outlook_.memory_facts & which_first_out) != 0;
  const Footing memory_footing = footing_of(prints_.back(), names_cause ? first_outs : 0, key);
  constexpr std::uint32_t none = UINT32_MAX;
  const std::uint64_t memory_hash = hash_of_all(memory_footing);
  const auto is_memory = [&](const auto& other) { return other.footing == memory_footing; };
  prospect.memory = store_.memories_.find(memory_hash, is_memory);
  if (prospect.memory == none) {
    ProspectStore::MemoryOn made{memory_footing, {}};
    for (const Decided& way : ways(outlook_.memory_facts, remember)) {
      made.memory.push_back({{number_of(way.now), way.before}, way.outcome});
    }
    prospect.memory = store_.memories_.add(memory_hash, std::move(made), is_memory);
  }
  for (std::size_t obligation = 0; obligation < histories_.size(); ++obligation) {
    if (!outlook_.open_obligations[obligation]) continue;
    const Footing footing = footing_of(prints_[obligation], obligation, key);
    const std::uint64_t hash = hash_of_all(footing);
    const auto is = [&](const auto& other) { return other.footing == footing; };
    std::uint32_t number = store_.opens_.find(hash, is);
    if (number == none) {
      ProspectStore::OpenOn made{footing, {}};
      Prospect::Open& open = made.open;
      open.obligation = obligation;
      const FactSet facts = outlook_.facts[obligation];
      for (const bool violated : {true, false}) {
        if (violated && !histories_.concludes(obligation)) continue;
        const auto happens = [&](const Histories::View& view) {
          const Histories::Verdict v = histories_.judge(obligation, view, outlook_, adversary_);
          return std::uint64_t{violated ? !v.holds : v.premise};
        };
        for (const Decided& way : ways(facts, happens)) {
          if (way.outcome == 0) continue;
          open.cases.push_back({{number_of(way.now), way.before}, violated});
          open.can_be_violated |= violated;
        }
      }
      number = store_.opens_.add(hash, std::move(made), is);
    }
    if (!store_.opens_[number].open.cases.empty()) prospect.open.push_back(number);
  }
  return prospect;
}

}  // namespace ovenproof::prove

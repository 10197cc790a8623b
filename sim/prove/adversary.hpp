#pragma once
#include <array>
#include <cstdint>
#include <span>

#include "firmware/logic/facts.hpp"
#include "sim/prove/healthy_facts.hpp"

/// Facts chosen by an adversary, one at a time and only when they are looked at.
namespace ovenproof::prove {

using logic::FactSet;

inline constexpr FactSet all_facts = (FactSet{1} << logic::fact_count) - 1;
/// Stands among facts for the question which of the first-outs that are alike it was that came.
inline constexpr FactSet which_first_out = FactSet{1} << 63;
static_assert(logic::fact_count <= 63);

/// Two facts that the conditioning never tells at once.
struct Exclusion {
  logic::Fact one;
  logic::Fact other;
};

/// The only facts that the adversary is not free to combine.
inline constexpr std::array exclusions{
    Exclusion{logic::Fact::door_closed, logic::Fact::door_open},
    Exclusion{logic::Fact::oxygen_at_gate, logic::Fact::oxygen_above_hold},
};

/// The facts that cannot be true while those of `facts` are.
constexpr FactSet excluded_by(FactSet facts) {
  FactSet excluded = 0;
  for (const Exclusion& pair : exclusions) {
    if ((facts & bit(pair.one)) != 0) excluded |= bit(pair.other);
    if ((facts & bit(pair.other)) != 0) excluded |= bit(pair.one);
  }
  return excluded;
}

/// What was looked at in one scan and what it was; everything else was not looked at.
struct Reading {
  FactSet known = 0;
  FactSet value = 0;  ///< a subset of `known`

  /// What is known of `facts` alone.
  [[nodiscard]] constexpr Reading of(FactSet facts) const { return {known & facts, value & facts}; }

  /// What either knows; they must not contradict each other.
  friend constexpr Reading operator|(const Reading& a, const Reading& b) {
    return {a.known | b.known, a.value | b.value};
  }
  friend constexpr bool operator==(const Reading&, const Reading&) = default;
};

/// Timers that run in one scan, as far as anybody asked.
struct TimerReading {
  logic::TimerSet known = 0;
  logic::TimerSet value = 0;  ///< a subset of `known`: commanded to run

  friend constexpr bool operator==(const TimerReading&, const TimerReading&) = default;
};

/// Walks through every way in which the facts of one scan can be. Each fact gets its first value
/// when it is first looked at; next() changes the last one that has a value left. So only
/// combinations of facts that somebody looks at are ever told apart.
class Adversary {
 public:
  /// Forgets everything and begins with the first way. `now`: what was looked at already and is no
  /// longer free. `before`: the same of the scan before; what nobody has looked at there can still
  /// be chosen, see before(). `timers`: those of which it is known whether they run.
  void begin(const Reading& now = {}, const Reading& before = {}, const TimerReading& timers = {}) {
    now_ = now;
    before_ = before;
    timers_ = timers;
    chosen_ = 0;
    looked_at_ = 0;
  }

  /// To the next way; false when there is none left. The same questions must then be asked again
  /// from the beginning.
  bool next() {
    looked_at_ = 0;
    while (chosen_ > 0) {
      Choice& last = choices_[chosen_ - 1];
      if (last.of == Of::timer ? other_value(last, timers_)
                               : other_value(last, last.of == Of::before ? before_ : now_)) {
        return true;
      }
      --chosen_;
    }
    return false;
  }

  /// The fact in this scan.
  bool now(logic::Fact fact) {
    looked_at_ |= bit(fact);
    return look(now_, bit(fact), Of::now);
  }
  /// The fact in the scan before.
  bool before(logic::Fact fact) { return look(before_, bit(fact), Of::before); }
  /// Whether the timer is commanded to run in this scan.
  bool runs(logic::Timer timer) {
    if ((timers_.known & bit(timer)) == 0) {
      timers_.known |= bit(timer);
      choices_[chosen_++] = {bit(timer), false, Of::timer};
    }
    return (timers_.value & bit(timer)) != 0;
  }

  [[nodiscard]] const Reading& reading() const { return now_; }
  /// Facts of this scan that were asked for since begin() or next().
  [[nodiscard]] FactSet looked_at() const { return looked_at_; }
  [[nodiscard]] const Reading& reading_before() const { return before_; }
  [[nodiscard]] const TimerReading& timers() const { return timers_; }

  /// For the logic to read from; valid while this lives.
  [[nodiscard]] logic::Facts facts() {
    return {this, [](const void* self, logic::Fact fact) {
              return static_cast<Adversary*>(const_cast<void*>(self))->now(fact);
            }};
  }

 private:
  enum class Of : std::uint8_t { now, before, timer };
  struct Choice {
    FactSet fact;  ///< or the timer
    bool second;   ///< has its second value
    Of of;
  };

  /// Gives the last choice its second value; false, and takes it back, if it has had that.
  template <class Known>
  static bool other_value(Choice& choice, Known& reading) {
    using Set = decltype(reading.value);
    const auto one = static_cast<Set>(choice.fact);
    if (!choice.second) {
      choice.second = true;
      reading.value ^= one;
      return true;
    }
    reading.known &= static_cast<Set>(~one);
    reading.value &= static_cast<Set>(~one);
    return false;
  }

  /// What a careful operator's healthy oven says most of the time comes first: of two shortest
  /// traces the more familiar one is found.
  static constexpr FactSet usual = [] {
    using enum logic::Fact;
    return healthy_facts | bit(purge_flow) | bit(process_flow) | bit(fan_running);
  }();

  bool look(Reading& reading, FactSet fact, Of of) {
    if ((reading.known & fact) != 0) return (reading.value & fact) != 0;
    if ((excluded_by(reading.value) & fact) != 0) return false;
    reading.known |= fact;
    reading.value |= fact & usual;
    choices_[chosen_++] = {fact, false, of};
    return (fact & usual) != 0;
  }

  Reading now_;
  Reading before_;
  TimerReading timers_;
  FactSet looked_at_ = 0;
  std::array<Choice, 2 * logic::fact_count + logic::timer_count> choices_{};
  unsigned chosen_ = 0;
};

}  // namespace ovenproof::prove

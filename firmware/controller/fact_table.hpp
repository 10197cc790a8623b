#pragma once
#include <cstdint>

#include "firmware/logic/facts.hpp"

namespace ovenproof::controller {

/// All facts of one scan, as the instruments and timers see them.
class FactTable {
 public:
  constexpr void set(logic::Fact fact, bool value) {
    bits_ = value ? bits_ | logic::bit(fact) : bits_ & ~logic::bit(fact);
  }
  /// Bit n: timer n has elapsed.
  constexpr void set_elapsed(std::uint64_t timers) {
    constexpr unsigned first = static_cast<unsigned>(logic::plain_fact_count);
    constexpr std::uint64_t plain = (std::uint64_t{1} << first) - 1;
    bits_ = (bits_ & plain) | timers << first;
  }
  [[nodiscard]] constexpr bool get(logic::Fact fact) const {
    return (bits_ & logic::bit(fact)) != 0;
  }
  /// Bit n: Fact n.
  [[nodiscard]] constexpr logic::FactSet bits() const { return bits_; }

  /// For the logic to read from.
  [[nodiscard]] logic::Facts reader() const { return logic::Facts(bits_); }

 private:
  logic::FactSet bits_ = 0;
};

}  // namespace ovenproof::controller

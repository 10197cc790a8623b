#pragma once
#include <cstdint>

#include "firmware/logic/facts.hpp"

namespace ovenproof::controller {

/// All facts of one scan, as the instruments and timers see them.
class FactTable {
 public:
  constexpr void set(logic::Fact fact, bool value) {
    const std::uint64_t bit = std::uint64_t{1} << static_cast<unsigned>(fact);
    bits_ = value ? bits_ | bit : bits_ & ~bit;
  }
  /// Bit n: timer n has elapsed.
  constexpr void set_elapsed(std::uint64_t timers) {
    constexpr unsigned first = static_cast<unsigned>(logic::plain_fact_count);
    constexpr std::uint64_t plain = (std::uint64_t{1} << first) - 1;
    bits_ = (bits_ & plain) | timers << first;
  }
  [[nodiscard]] constexpr bool get(logic::Fact fact) const {
    return (bits_ >> static_cast<unsigned>(fact) & 1U) != 0;
  }
  /// Bit n: Fact n.
  [[nodiscard]] constexpr std::uint64_t bits() const { return bits_; }

  /// For the logic to read from; valid while this table lives.
  [[nodiscard]] logic::Facts reader() const {
    return {this, [](const void* table, logic::Fact fact) {
              return static_cast<const FactTable*>(table)->get(fact);
            }};
  }

 private:
  static_assert(logic::fact_count <= 64);
  std::uint64_t bits_ = 0;
};

}  // namespace ovenproof::controller

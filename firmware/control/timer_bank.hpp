#pragma once
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>

#include "firmware/control/accumulate.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::control {

/// `N` on-delay timers (TON of IEC 61131-3): a timer is elapsed once its run bit has been held for
/// its preset, and as long as it is held; a run bit that drops resets its timer at once.
///
/// Time counts from the update that first saw the run bit, so a preset is never shortened; a
/// preset of zero elapses in that same update.
template <std::size_t N>
class TimerBank {
  static_assert(N <= 64, "run bits are one 64-bit word");

 public:
  using Presets = std::array<Milliseconds, N>;

  /// One scan. `run`: bit n runs timer n. `dt`: time since the last update.
  constexpr void update(std::uint64_t run, const Presets& presets, Milliseconds dt) {
    // Only timers that run or have just stopped change at all.
    for (std::uint64_t left = (run | run_) & all; left != 0; left &= left - 1) {
      const auto i = static_cast<std::size_t>(std::countr_zero(left));
      const std::uint64_t bit = left & -left;
      if ((run & bit) == 0) {
        held_[i] = Milliseconds{};
      } else if ((run_ & bit) != 0) {
        held_[i] = saturating_sum(held_[i], dt);
      }
      const bool done = (run & bit) != 0 && held_[i] >= presets[i];
      elapsed_ = done ? elapsed_ | bit : elapsed_ & ~bit;
    }
    run_ = run;
  }

  [[nodiscard]] constexpr bool elapsed(std::size_t timer) const {
    return timer < N && (elapsed_ >> timer & 1U) != 0;
  }
  /// Bit n: timer n is elapsed.
  [[nodiscard]] constexpr std::uint64_t elapsed_bits() const { return elapsed_; }
  /// How long the run bit has been held; zero while it is low.
  [[nodiscard]] constexpr Milliseconds held(std::size_t timer) const {
    return timer < N ? held_[timer] : Milliseconds{};
  }

  friend constexpr bool operator==(const TimerBank&, const TimerBank&) = default;

 private:
  static constexpr std::uint64_t all = N == 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << N) - 1;

  std::array<Milliseconds, N> held_{};
  std::uint64_t run_ = 0;
  std::uint64_t elapsed_ = 0;
};

}  // namespace ovenproof::control

#pragma once
#include <cstdint>
#include <string_view>
#include <variant>
#include <vector>

#include "firmware/math/units.hpp"
#include "hal-mock/signal_fault.hpp"

namespace ovenproof::mock {

/// At onset the reading jumps. The end has no meaning.
struct ClockJump {
  std::int32_t by_ms = 0;  ///< forwards or back, not 0
  friend bool operator==(const ClockJump&, const ClockJump&) = default;
};
/// The reading stands still.
struct ClockStopped {
  friend bool operator==(const ClockStopped&, const ClockStopped&) = default;
};
/// The clock runs fast or slow.
struct ClockDrift {
  std::int32_t ppm = 0;  ///< -999999..1000000, not 0; positive runs fast
  friend bool operator==(const ClockDrift&, const ClockDrift&) = default;
};

/// A fault of the board's clock, as a value; it acts at onset_ms <= t < end_ms.
struct ClockFault {
  std::variant<ClockJump, ClockStopped, ClockDrift> effect;
  VirtualMs onset_ms = 0;
  VirtualMs end_ms = no_end;
  friend bool operator==(const ClockFault&, const ClockFault&) = default;
};

/// Why the fault cannot be injected; empty if it can.
std::string_view refusal(const ClockFault& fault);

/// The board's monotonic ms counter, which wraps at 2^32, over the time of the simulation.
class VirtualClock {
 public:
  static constexpr std::size_t max_faults = 64;

  /// \param at_start reading when the processor starts
  explicit VirtualClock(std::uint32_t at_start) : at_start_(at_start), reading_(at_start) {}

  /// The processor starts: the counter starts over. Faults stay.
  void restart();
  /// The counter runs over the instants (from, from + ms].
  void advance(VirtualMs from, std::uint32_t ms) {
    if (faults_.empty()) {
      reading_ += ms;
    } else {
      advance_faulty(from, ms);
    }
  }
  [[nodiscard]] Milliseconds now() const { return Milliseconds(reading_); }

  /// Adds a fault at virtual time `now`; one whose onset has passed acts from now on, a jump at
  /// once. Gives the reason why not, empty if taken.
  std::string_view inject(const ClockFault& fault, VirtualMs now);
  void clear_faults() { faults_.clear(); }

  friend bool operator==(const VirtualClock&, const VirtualClock&) = default;

 private:
  void advance_faulty(VirtualMs from, std::uint32_t ms);

  std::uint32_t at_start_;
  std::uint32_t reading_;
  std::uint32_t millionths_ = 0;  ///< of a ms, below 1e6: what drift has gained but not yet shown
  std::vector<ClockFault> faults_;
};

}  // namespace ovenproof::mock

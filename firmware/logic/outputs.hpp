#pragma once
#include <cstddef>
#include <cstdint>

namespace ovenproof::logic {

/// What the logic can energise. De-energised is the safe state of each.
enum class Output : std::uint8_t {
  k1,            ///< regulating contactor
  k2,            ///< safety contactor
  heater_drive,  ///< leave for the power controller to fire
  fan,
  purge_valve,
  process_valve,
  damper,
  blower,
  count
};

inline constexpr std::size_t output_count = static_cast<std::size_t>(Output::count);

/// Set of outputs, bit n for Output n.
class OutputSet {
 public:
  constexpr OutputSet() = default;
  template <class... More>
  constexpr explicit OutputSet(Output first, More... more)
      : bits_(static_cast<std::uint8_t>((bit(first) | ... | bit(more)))) {}

  static constexpr OutputSet all() { return OutputSet(static_cast<std::uint8_t>(0xFF)); }

  /// The inverse of bits().
  static constexpr OutputSet of_bits(std::uint8_t bits) { return OutputSet(bits); }

  [[nodiscard]] constexpr bool has(Output output) const { return (bits_ & bit(output)) != 0; }
  [[nodiscard]] constexpr bool covers(OutputSet other) const {
    return (other.bits_ & ~bits_ & 0xFF) == 0;
  }
  [[nodiscard]] constexpr bool empty() const { return bits_ == 0; }
  [[nodiscard]] constexpr std::uint8_t bits() const { return bits_; }

  friend constexpr OutputSet operator|(OutputSet a, OutputSet b) {
    return OutputSet(static_cast<std::uint8_t>(a.bits_ | b.bits_));
  }
  friend constexpr OutputSet operator&(OutputSet a, OutputSet b) {
    return OutputSet(static_cast<std::uint8_t>(a.bits_ & b.bits_));
  }
  /// Those of `a` that are not in `b`.
  friend constexpr OutputSet operator-(OutputSet a, OutputSet b) {
    return OutputSet(static_cast<std::uint8_t>(a.bits_ & ~b.bits_));
  }
  friend constexpr bool operator==(OutputSet, OutputSet) = default;

 private:
  constexpr explicit OutputSet(std::uint8_t bits) : bits_(bits) {}
  static constexpr std::uint8_t bit(Output output) {
    return static_cast<std::uint8_t>(1U << static_cast<unsigned>(output));
  }

  std::uint8_t bits_ = 0;
};

static_assert(output_count == 8, "OutputSet::all() counts on eight outputs");

/// Name of an output in files and reports, that of the enumerator.
const char* name_of(Output output);

}  // namespace ovenproof::logic

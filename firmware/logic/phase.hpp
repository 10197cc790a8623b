#pragma once
#include <cstddef>
#include <cstdint>

namespace ovenproof::logic {

/// Where the sequence is: the innermost active state, flat, for everyone who need not know how
/// the state machine nests.
enum class Phase : std::uint8_t {
  tripped,  ///< also after power-up: waits for the causes to go and for a reset
  standby,
  purging,
  ramp,
  soak,
  repurging,  ///< heat interrupted, purged again until the gate is met
  cooling,
  flushing,  ///< cooling, with purge flow because oxygen rose above the hold limit
  unloading,
  count
};

inline constexpr std::size_t phase_count = static_cast<std::size_t>(Phase::count);

/// State of the gas routing region.
enum class GasPath : std::uint8_t { shut, purge, process };
inline constexpr std::size_t gas_path_count = 3;
/// State of the circulation fan region.
enum class FanState : std::uint8_t { off, starting, proven, run_on };
inline constexpr std::size_t fan_state_count = 4;
/// State of the jacket cooling region.
enum class JacketState : std::uint8_t { closed, opening, open, closing };
inline constexpr std::size_t jacket_state_count = 4;

/// Set of phases, bit n for Phase n.
class PhaseSet {
 public:
  template <class... P>
  constexpr explicit PhaseSet(P... phases)
      : bits_(static_cast<std::uint16_t>((0U | ... | (1U << static_cast<unsigned>(phases))))) {}
  [[nodiscard]] constexpr bool has(Phase phase) const {
    return (bits_ >> static_cast<unsigned>(phase) & 1U) != 0;
  }
  friend constexpr bool operator==(PhaseSet, PhaseSet) = default;

 private:
  std::uint16_t bits_;
};

inline constexpr PhaseSet any_phase{Phase::tripped, Phase::standby,  Phase::purging,
                                    Phase::ramp,    Phase::soak,     Phase::repurging,
                                    Phase::cooling, Phase::flushing, Phase::unloading};
/// From the start until the oven may be opened.
inline constexpr PhaseSet closed_cycle{Phase::purging,   Phase::ramp,    Phase::soak,
                                       Phase::repurging, Phase::cooling, Phase::flushing};
inline constexpr PhaseSet heating{Phase::ramp, Phase::soak};
inline constexpr PhaseSet purge_flow_phases{Phase::purging, Phase::repurging, Phase::flushing};

/// Names in files and reports: those of the enumerators; "?" outside the enumeration.
const char* name_of(Phase phase);
const char* name_of(GasPath path);
const char* name_of(FanState state);
const char* name_of(JacketState state);

}  // namespace ovenproof::logic

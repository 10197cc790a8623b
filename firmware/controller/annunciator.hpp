#pragma once
#include <cstdint>

#include "firmware/hal/image.hpp"
#include "firmware/logic/commands.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::controller {

/// Lamps and horn. Nothing here protects anybody.
///
/// Run lamp (white): steady while a cycle runs, flashing while the oven may be unloaded; steady
/// while gas still flows behind the closed door, a contactor is not proven open, or the chamber has
/// warmed up again or nobody knows.
/// Fault lamp (yellow): flashing from a trip until any button is pressed, then steady until reset.
/// A button that is held or sticks acknowledges one trip, not those that come after it. Horn:
/// sounds with the flashing fault lamp, but not for the trip that every power-up is.
class Annunciator {
 public:
  /// One scan; sets the three outputs in `outputs`. `buttons`: bit n for each that is pressed.
  /// `may_unload`: safe to open, or open already.
  void update(const logic::Commands& commands, std::uint32_t buttons, bool may_unload,
              Milliseconds dt, hal::OutputImage& outputs);

 private:
  static constexpr Milliseconds half_period{500};

  Milliseconds blink_{0};
  std::uint32_t buttons_ = 0;
  logic::Cause first_out_ = logic::Cause::none;
  logic::Cause acknowledged_ = logic::Cause::power_up;
};

}  // namespace ovenproof::controller

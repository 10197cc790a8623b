#pragma once
#include "firmware/hal/image.hpp"
#include "firmware/logic/commands.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::controller {

/// Lamps and horn. Nothing here protects anybody.
///
/// Run lamp (white): steady while a cycle runs, flashing while the oven waits to be unloaded.
/// Fault lamp (yellow): flashing from a trip until any button is pressed, then steady until reset.
/// Horn: sounds with the flashing fault lamp, but not for the trip that every power-up is.
class Annunciator {
 public:
  /// One scan; sets the three outputs in `outputs`. `any_button`: start, stop or reset is pressed.
  void update(const logic::Commands& commands, bool any_button, Milliseconds dt,
              hal::OutputImage& outputs);

 private:
  static constexpr Milliseconds half_period{500};

  Milliseconds blink_{0};
  logic::Cause acknowledged_ = logic::Cause::power_up;
};

}  // namespace ovenproof::controller

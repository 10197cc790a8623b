#include "firmware/controller/annunciator.hpp"

namespace ovenproof::controller {

void Annunciator::update(const logic::Commands& commands, std::uint32_t buttons, bool may_unload,
                         Milliseconds dt, hal::OutputImage& outputs) {
  const bool any_press = (buttons & ~buttons_) != 0;
  buttons_ = buttons;
  // A new trip is seen at once: its flashing begins lit.
  const bool new_trip = commands.first_out != first_out_;
  first_out_ = commands.first_out;
  blink_ = new_trip ? Milliseconds(0) : Milliseconds((blink_ + dt).value % (2 * half_period.value));
  const bool lit = blink_ < half_period;

  const bool tripped = commands.first_out != logic::Cause::none;
  if (any_press || !tripped) acknowledged_ = commands.first_out;
  const bool unacknowledged = tripped && acknowledged_ != commands.first_out;

  const bool waiting = commands.phase == logic::Phase::unloading;
  outputs.set(hal::DigitalOut::run_lamp,
              logic::closed_cycle.has(commands.phase) || (waiting && (lit || !may_unload)));
  outputs.set(hal::DigitalOut::fault_lamp, tripped && (!unacknowledged || lit));
  outputs.set(hal::DigitalOut::horn, unacknowledged);
}

}  // namespace ovenproof::controller

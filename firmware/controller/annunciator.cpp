#include "firmware/controller/annunciator.hpp"

namespace ovenproof::controller {

void Annunciator::update(const logic::Commands& commands, bool any_button, Milliseconds dt,
                         hal::OutputImage& outputs) {
  blink_ = Milliseconds((blink_ + dt).value % (2 * half_period.value));
  const bool lit = blink_ < half_period;

  const bool tripped = commands.first_out != logic::Cause::none;
  if (any_button || !tripped) acknowledged_ = commands.first_out;
  const bool unacknowledged = tripped && acknowledged_ != commands.first_out;

  const bool waiting = commands.phase == logic::Phase::unloading;
  outputs.set(hal::DigitalOut::run_lamp,
              logic::closed_cycle.has(commands.phase) || (waiting && lit));
  outputs.set(hal::DigitalOut::fault_lamp, tripped && (!unacknowledged || lit));
  outputs.set(hal::DigitalOut::horn, unacknowledged);
}

}  // namespace ovenproof::controller

#include "firmware/controller/controller.hpp"

namespace ovenproof::controller {

using hal::DigitalIn;
using hal::DigitalOut;
using logic::Fact;
using logic::Output;

Controller::Controller(const settings::Decoded& settings, hal::ResetCause cause)
    : configuration_(configure(settings.settings)),
      refusal_(settings.refusal),
      logic_(configuration_.options, cause == hal::ResetCause::watchdog
                                         ? logic::Cause::watchdog_restart
                                         : logic::Cause::power_up) {
  commands_.first_out = logic_.memory().first_out;  // told before the first scan, too
}

hal::OutputImage Controller::scan(const hal::InputImage& inputs, Milliseconds now) {
  const Configuration& c = configuration_;
  const control::ScanTiming timing = supervision_.update(now, c.settings.scan);
  clock_check_.update(inputs.conversion, timing.dt, c.settings.scan);

  const std::optional<Milliseconds> evaluated = instruments_.update(
      inputs, timing.dt, logic_.memory().energised, regulation_.drive().applied(), c);

  instruments_.tell(facts_, c);
  regulation_.tell(facts_, c);
  facts_.set(Fact::settings_valid, refusal_ == settings::Refusal::none);
  facts_.set(Fact::scan_overrun, timing.overrun);
  facts_.set(Fact::clock_jump, timing.clock_jump || clock_check_.differs());

  const logic::Phase before = commands_.phase;
  commands_ = logic_.scan(facts_.reader());
  if (commands_.acknowledge) instruments_.acknowledge();
  if (commands_.phase == logic::Phase::unloading && before != commands_.phase) {
    instruments_.expect_opening(c);
  }

  regulation_.update(commands_, instruments_, timing.dt, evaluated, c);
  return drive(timing.dt);
}

hal::OutputImage Controller::drive(Milliseconds dt) {
  hal::OutputImage outputs;
  const auto put = [&](DigitalOut point, Output output) {
    outputs.set(point, commands_.outputs.has(output));
  };
  put(DigitalOut::k1, Output::k1);
  put(DigitalOut::k2, Output::k2);
  put(DigitalOut::fan, Output::fan);
  put(DigitalOut::purge_valve, Output::purge_valve);
  put(DigitalOut::process_valve, Output::process_valve);
  put(DigitalOut::damper, Output::damper);
  put(DigitalOut::blower, Output::blower);
  // The regulation has set the drive to zero when it is not permitted.
  outputs.heater_permille = regulation_.drive().permille();

  const conditioning::ContactBank& contacts = instruments_.contacts();
  const std::uint32_t buttons = (contacts.on(DigitalIn::start_button) ? 1U : 0U) |
                                (contacts.on(DigitalIn::reset_button) ? 2U : 0U) |
                                (facts_.get(Fact::stop_pressed) ? 4U : 0U);
  const bool cool = facts_.get(Fact::temperature_valid) && facts_.get(Fact::cool_to_unload);
  const bool gas_flows = facts_.get(Fact::purge_flow) || facts_.get(Fact::process_flow);
  const bool heater_off = facts_.get(Fact::k1_open) && facts_.get(Fact::k2_open);
  const bool may_unload = !facts_.get(Fact::door_closed) || (cool && !gas_flows && heater_off);
  annunciator_.update(commands_, buttons, may_unload, dt, outputs);
  return outputs;
}

}  // namespace ovenproof::controller

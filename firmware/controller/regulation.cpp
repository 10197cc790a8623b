#include "firmware/controller/regulation.hpp"

namespace ovenproof::controller {

using hal::DigitalIn;
using logic::Fact;
using logic::Output;

void Regulation::regulate(const logic::Commands& commands,
                          const conditioning::Reading<Celsius>& temperature, Milliseconds dt,
                          std::optional<Milliseconds> evaluated, const Configuration& c) {
  control::ProgrammeCommands programme;
  programme.ramp = commands.phase == logic::Phase::ramp;
  programme.soak = commands.phase == logic::Phase::soak;
  programme.advance = commands.programme_advance;
  programme.restart = commands.programme_restart;
  programme_.update(programme, temperature.value, temperature.valid(), c.settings.programme, dt);

  const bool permitted = commands.outputs.has(Output::heater_drive);
  if (evaluated || !permitted) {
    demand_ = pid_.update(programme_.setpoint(), temperature.value,
                          permitted && programme_.active() && temperature.valid(),
                          c.settings.control, evaluated.value_or(dt));
  }
  drive_.update(demand_, permitted, c.settings.control, dt);
  if (evaluated) pid_.track(drive_.applied(), c.settings.control, *evaluated);
}

void Regulation::update(const logic::Commands& commands, const Instruments& instruments,
                        Milliseconds dt, std::optional<Milliseconds> evaluated,
                        const Configuration& c) {
  const conditioning::ContactBank& contacts = instruments.contacts();
  const conditioning::Reading<Celsius>& temperature = instruments.temperature();

  timers_.update(commands.timers, c.timers, dt);
  purge_counter_.update(commands.count_purge, instruments.proven(DigitalIn::purge_flow), dt);
  regulate(commands, temperature, dt, evaluated, c);

  const bool may_heat = !contacts.on(DigitalIn::k1_open) || !contacts.on(DigitalIn::k2_open);
  elements_cool_.update(may_heat, temperature.value, temperature.valid(), c.settings.cooling, dt);
  if (evaluated) {
    contraction_.update(temperature.value, temperature.valid(), c.settings.purge.chamber_volume_L,
                        c.settings.cooling, *evaluated);
  }
}

void Regulation::tell(FactTable& facts, const Configuration& c) const {
  const control::ProgrammeFacts programme = programme_.facts(c.settings.programme);
  facts.set(Fact::ramp_complete, programme.ramp_complete);
  facts.set(Fact::soak_complete, programme.soak_complete);
  facts.set(Fact::last_segment, programme.last_segment);
  facts.set(Fact::purge_volumes_reached, purge_counter_.complete(c.settings.purge));
  facts.set(Fact::gas_settled,
            contraction_.settled(c.settings.purge.process_flow, c.settings.cooling));
  facts.set(Fact::elements_cool, elements_cool_.cool());
  facts.set_elapsed(timers_.elapsed_bits());
}

}  // namespace ovenproof::controller

#include "firmware/controller/instruments.hpp"

namespace ovenproof::controller {

using hal::DigitalIn;
using logic::Fact;
using logic::Output;

namespace {

/// Contacts that prove that something flows or turns.
constexpr std::array proofs{DigitalIn::gas_supply_ok, DigitalIn::purge_flow,
                            DigitalIn::process_flow, DigitalIn::fan_running,
                            DigitalIn::blower_running};

}  // namespace

std::optional<Milliseconds> Instruments::update(const hal::InputImage& image, Milliseconds dt,
                                                logic::OutputSet energised, Fraction drive,
                                                const Configuration& c) {
  contacts_.update(image.contacts, dt, c.contacts);
  for (const DigitalIn proof : proofs) {
    flaps_[static_cast<std::size_t>(proof)].update(contacts_.on(proof), dt, c.flaps);
  }
  door_.update(image.energised(DigitalIn::door_closed_1), image.energised(DigitalIn::door_closed_2),
               dt, c.door);
  start_.update(contacts_.on(DigitalIn::start_button), dt);
  reset_.update(contacts_.on(DigitalIn::reset_button), dt);
  const std::optional<Milliseconds> interval = analog_.update(image, dt, c.analog);
  if (interval) judge(*interval, energised, drive, c);
  return interval;
}

void Instruments::judge(Milliseconds interval, logic::OutputSet energised, Fraction drive,
                        const Configuration& c) {
  temperature_.update(analog_.te_a(), analog_.te_b(), door_.proven_closed(), interval,
                      c.temperature);
  const conditioning::Reading<Celsius>& temperature = temperature_.reading();
  over_temperature_.update(temperature, c.over_temperature);

  conditioning::HeatCircumstances heat;
  heat.drive = drive;
  heat.door_closed = door_.proven_closed();
  heat.heating = energised.has(Output::k1);
  heat.fan_running = proven(DigitalIn::fan_running);
  heat.cooling = energised.has(Output::damper) || energised.has(Output::blower);
  heat_.update(temperature, heat, interval, c.heat);

  if (c.analog.oxygen_sensor == conditioning::OxygenSensor::none) return;
  conditioning::OxygenCircumstances gas;
  gas.door_proven_closed = door_.proven_closed();
  gas.door_fully_open = door_.fully_open();
  gas.purge_commanded = energised.has(Output::purge_valve);
  gas.purge_flow_proven = proven(DigitalIn::purge_flow);
  gas.process_commanded = energised.has(Output::process_valve);
  gas.process_flow_proven = proven(DigitalIn::process_flow);
  gas.chamber = temperature;
  gas.cell_temperature = analog_.cell_temperature();
  const conditioning::Reading<Ppm>& oxygen = analog_.oxygen();
  trust_.update(oxygen, analog_.oxygen_count(), gas, interval, c.trust);
  thresholds_.update(oxygen, c.thresholds);
  oxygen_seen_valid_ = oxygen_seen_valid_ || oxygen.valid();
  if (oxygen.valid() && oxygen.value >= c.trust.air_min && oxygen.value <= c.trust.air_max) {
    oxygen_has_read_air_ = true;
  }
}

void Instruments::acknowledge() {
  trust_.acknowledge();
  temperature_.acknowledge();
  for (conditioning::FlapWatch& each : flaps_) each.acknowledge();
}

void Instruments::expect_opening(const Configuration& c) {
  door_.expect_opening(c.door);
  oxygen_has_read_air_ = false;
}

bool Instruments::oxygen_failed() const {
  using conditioning::Reason;
  if (trust_.faults().warm_up_overdue) return true;
  switch (analog_.oxygen().reason) {
    case Reason::none:
    case Reason::warming_up:
    case Reason::no_value_yet:
      return false;
    case Reason::loop_failure_low:
      // A transmitter that has never read sends its failure current while it warms up.
      return oxygen_seen_valid_;
    default:
      return true;
  }
}

void Instruments::tell(FactTable& facts, const Configuration& c) const {
  const auto contact = [&](Fact fact, DigitalIn point) { facts.set(fact, proven(point)); };
  facts.set(Fact::door_closed, door_.proven_closed());
  facts.set(Fact::door_open, door_.fully_open());
  facts.set(Fact::door_contacts_disagree, door_.disagree());
  facts.set(Fact::start_pressed, start_.given());
  facts.set(Fact::stop_pressed, !contacts_.on(DigitalIn::stop_button));
  facts.set(Fact::reset_pressed, reset_.given());
  contact(Fact::estop_healthy, DigitalIn::estop_healthy);
  contact(Fact::limiter_healthy, DigitalIn::limiter_healthy);
  contact(Fact::gas_supply_ok, DigitalIn::gas_supply_ok);
  contact(Fact::purge_flow, DigitalIn::purge_flow);
  contact(Fact::process_flow, DigitalIn::process_flow);
  contact(Fact::fan_running, DigitalIn::fan_running);
  contact(Fact::k1_open, DigitalIn::k1_open);
  contact(Fact::k2_open, DigitalIn::k2_open);
  contact(Fact::damper_open, DigitalIn::damper_open);
  contact(Fact::damper_closed, DigitalIn::damper_closed);
  contact(Fact::blower_running, DigitalIn::blower_running);

  const conditioning::Reading<Celsius>& temperature = temperature_.reading();
  facts.set(Fact::temperature_valid, temperature.valid());
  facts.set(Fact::thermocouples_disagree, temperature_.disagree());
  facts.set(Fact::temperature_rate_implausible, temperature_.rate_implausible());
  facts.set(Fact::over_temperature, over_temperature_.active());
  facts.set(Fact::no_temperature_rise, heat_.no_rise());
  facts.set(Fact::rise_without_demand, heat_.rise_without_demand());
  facts.set(Fact::cool_to_unload,
            temperature.valid() && temperature.value <= c.settings.cooling.unload_temperature);

  const conditioning::OxygenFaults& faults = trust_.faults();
  facts.set(Fact::oxygen_valid, analog_.oxygen().valid() && trust_.trusted());
  facts.set(Fact::oxygen_failed, oxygen_failed());
  facts.set(Fact::oxygen_at_gate, thresholds_.at_gate());
  facts.set(Fact::oxygen_above_hold, thresholds_.above_hold());
  facts.set(Fact::oxygen_air_check_failed, faults.not_air);
  facts.set(Fact::oxygen_not_falling, faults.not_falling);
  facts.set(Fact::oxygen_falls_too_soon, faults.too_low_too_soon);
  facts.set(Fact::oxygen_frozen, faults.frozen);
  facts.set(Fact::oxygen_has_read_air, oxygen_has_read_air_ || !c.settings.oxygen.air_before_start);
}

}  // namespace ovenproof::controller

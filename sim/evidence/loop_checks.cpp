#include "sim/evidence/loop_checks.hpp"

#include <array>

#include "sim/evidence/isolation.hpp"

namespace ovenproof::evidence {
namespace {

template <class Enumeration>
struct Check {
  Enumeration point;
  LoopCheck check;
};

/// True if check n is that of enumerator n.
template <class Enumeration, std::size_t count>
consteval bool in_order(const std::array<Check<Enumeration>, count>& checks) {
  for (std::size_t i = 0; i < count; ++i) {
    if (static_cast<std::size_t>(checks[i].point) != i) return false;
  }
  return true;
}

constexpr LoopCheck door_switch{
    isolation::all,
    "Chamber cold and reading air. Open and close the door slowly; measure the gap at which the "
    "contact opens. Then, door shut, take one wire off at the switch.",
    "Input on only while the door is shut; off before the gap lets gas out or a hand in, and with "
    "the wire off.",
    "Put the wire back; input on with the door shut. Remove the locks last."};

constexpr LoopCheck mirror_contact{
    isolation::heater,
    "Take the contactor's coil wire off the controller's output; give it 24 V DC from a fused "
    "test supply, then take that away. Do not push the armature by hand. At rest, take one wire "
    "off the mirror contact.",
    "Input off while the contactor is in; on at rest; off with the wire off.",
    "Put both wires back; input on at rest. Remove the lock last."};

constexpr LoopCheck gas_flow_switch{
    "Isolate the heater supply and the inert gas: main switch off, supply valve shut, both locked "
    "and tagged; poles proved dead. Connect dry test air with a flow meter.",
    "Take the path's valve wire off the controller's output and open the valve with 24 V DC from a "
    "fused test supply. Raise and lower the flow slowly through the set point. Then, flowing, take "
    "one wire off the switch.",
    "Input on above the set point and off below it: both flows as specified; off with the wire "
    "off.",
    "Test supply away, wires back, input off without flow. Disconnect the test air, check the "
    "joints for leaks; open the gas last."};

constexpr LoopCheck damper_end_switch{
    "Isolate the heater supply, the damper's drive and the blowers: switched off, locked and "
    "tagged, proved dead. The damper's spring stores energy: block the linkage before a hand is "
    "near it.",
    "Clear of the linkage, drive the damper to both ends with the drive's own hand gear or from a "
    "fused test supply. At the switch's end, take one wire off.",
    "Input on at this end only, off on the way and with the wire off.",
    "Wire back, blocks out, linkage guards on; damper shut. Remove the locks last."};

constexpr LoopCheck thermocouple{
    isolation::heater,
    "Leave the thermocouple where it is. Take its wires off the controller's terminals; give low, "
    "middle and high end of the range from a calibrator set to the type, through its own extension "
    "wire. Then leave the input open.",
    "The controller reads each value within the loop's tolerance; open, the reading is invalid.",
    "Put both wires back by colour and polarity; the reading is that of the room or of a reference "
    "thermometer at the oven. Remove the lock last."};

constexpr LoopCheck gas_valve{
    "Isolate the heater supply and the inert gas upstream of the valve: main switch off, hand "
    "valve shut, both locked and tagged; poles proved dead, line vented outdoors to zero gauge.",
    "Feed dry test air at working pressure. Take the valve's wire off the controller's output; "
    "give it 24 V DC from a fused test supply, then take that away.",
    "Flow only while energised; without voltage the spring shuts it, and the flow meter shows no "
    "more than the permitted seat leakage.",
    "Wire back, test air off and disconnected, joints checked for leaks. Open the gas last."};

constexpr LoopCheck motor_contactor{
    "Isolate the motor supply: its isolator open, locked and tagged, every pole proved dead at the "
    "contactor and at the motor terminals.",
    "Take the coil wire off the controller's output; give it 24 V DC from a fused test supply, "
    "then take that away. Measure across each pole with an ohmmeter.",
    "All poles close, and all open without voltage; the motor stands still.",
    "Wire back, guards on, nobody at the rotor. Remove the lock last; see the direction of "
    "rotation at the first start."};

constexpr LoopCheck heater_contactor{
    "Isolate the heater supply: main switch off, locked and tagged, every pole proved dead on both "
    "sides of the contactor.",
    "Take the coil wire off the controller's output; give it 24 V DC from a fused test supply, "
    "ahead of the hard-wired chain. Measure across each pole with an ohmmeter. While it is in, "
    "press the emergency stop; again with the limiter tripped.",
    "All poles close; emergency stop and limiter each open all of them, though the test supply is "
    "on.",
    "Test supply away, wire back, emergency stop released, limiter reset; all poles open. Remove "
    "the lock last."};

constexpr const char* lamp_or_button_reason =
    "No isolation: 24 V DC extra-low voltage, nothing moves or flows. Open no other compartment.";

using hal::AnalogIn;
using hal::DigitalIn;
using hal::DigitalOut;

constexpr std::array<Check<DigitalIn>, hal::digital_in_count> contacts{{
    {DigitalIn::door_closed_1, door_switch},
    {DigitalIn::door_closed_2, door_switch},
    {DigitalIn::start_button,
     {isolation::heater_and_gas, "Press and release. Then take one wire off and press.",
      "Input on while pressed; never with the wire off.", "Wire back. Remove the locks last."}},
    {DigitalIn::stop_button,
     {isolation::heater_and_gas, "Press and release. Then take one wire off.",
      "Input off while pressed, and with the wire off: a broken wire stops.",
      "Wire back; input on. Remove the locks last."}},
    {DigitalIn::reset_button,
     {isolation::heater_and_gas, "Press and release. Then take one wire off and press.",
      "Input on while pressed; never with the wire off.", "Wire back. Remove the locks last."}},
    {DigitalIn::estop_healthy,
     {isolation::heater,
      "Press each emergency-stop device, one at a time. With each pressed, measure the contactors' "
      "coil terminals and, where a second contact cuts the supply of the outputs, the outputs' "
      "common. Release it and measure again, then reset. Then take one wire of the read-back off.",
      "Input off with each device and with the wire off; no voltage at any coil while one is "
      "pressed. With a control relay in their supply the outputs stay without voltage after the "
      "release, until the reset button is let go.",
      "Release every device, wire back, input on. Remove the lock last."}},
    {DigitalIn::limiter_healthy,
     {isolation::heater,
      "Leave the limiter's sensor where it is. Take its wires off the limiter's terminals and feed "
      "a calibrator: raise it through the set point; leave the input open; reverse it. Then take "
      "one wire of the read-back off.",
      "Trips at its set point, open and as its manual says reversed; stays tripped until reset by "
      "hand; no voltage at the contactors' coils; input off, and off with the wire off.",
      "Sensor wires back by polarity, set point as recorded and sealed, limiter reset by hand; it "
      "reads the room's temperature. Remove the lock last."}},
    {DigitalIn::gas_supply_ok,
     {isolation::heater_and_gas,
      "Connect a hand pump and a reference gauge to the switch's test point; raise and lower the "
      "pressure slowly. Then, pressurised, take one wire off.",
      "Input on above the set point and off below it: both pressures as specified; off with the "
      "wire off.",
      "Wire back, pump away, joint checked for leaks. Open the gas last."}},
    {DigitalIn::purge_flow, gas_flow_switch},
    {DigitalIn::process_flow, gas_flow_switch},
    {DigitalIn::fan_running,
     {"Isolate the heater supply and the fan's motor: switched off, locked and tagged, every pole "
      "proved dead.",
      "See the input with the fan at rest. A pressure-type switch: raise and lower a hand pump at "
      "its ports through the set point. Another type: guards on and people clear, give the motor "
      "back and start a cycle in test air. Then take one wire off.",
      "Input off at rest, on above the set point, off with the wire off.",
      "Tubes and wire back; input off at rest. Remove the locks last."}},
    {DigitalIn::k1_open, mirror_contact},
    {DigitalIn::k2_open, mirror_contact},
    {DigitalIn::damper_open, damper_end_switch},
    {DigitalIn::damper_closed, damper_end_switch},
    {DigitalIn::blower_running,
     {"Isolate the heater supply and the blowers' motors: switched off, locked and tagged, every "
      "pole proved dead.",
      "See the input with the blowers at rest. Raise and lower a hand pump at the ports of a "
      "pressure-type switch through the set point; another type is checked in the witnessed test "
      "of the blowers. Then take one wire off.",
      "Input off at rest, on above the set point, off with the wire off.",
      "Tubes and wire back; input off at rest. Remove the locks last."}},
}};
static_assert(in_order(contacts), "check n belongs to DigitalIn n");

constexpr std::array<Check<AnalogIn>, hal::analog_in_count> analogs{{
    {AnalogIn::te_a, thermocouple},
    {AnalogIn::te_b, thermocouple},
    {AnalogIn::cold_junction,
     {isolation::heater,
      "Take the Pt100's wires off the controller's terminals; give 100.00, 107.79 and 115.54 ohm "
      "from a resistance box. Then leave the input open, then short it.",
      "The controller reads 0, 20 and 40 °C (IEC 60751); open or short, every thermocouple reading "
      "is invalid.",
      "Wires back; it reads the terminals' temperature by a thermometer. Remove the lock last."}},
    {AnalogIn::oxygen_cell,
     {"Isolate the heater supply: main switch off, locked and tagged, proved dead. The cell stays "
      "hot: touch neither cell nor sample line.",
      "Take the cell's wires off the controller's terminals. Give 750 °C at the cell's "
      "thermocouple input and, from an mV source, 0, 67.1 and 168.6 mV. Then leave the input open.",
      "Once settled at a cell temperature of 750 °C: 209 500 ppm (air), 1 % and 100 ppm by the "
      "Nernst equation; "
      "warming up if the cell's setting is another temperature; open, the reading is invalid.",
      "Wires back by polarity; with the door open in fresh air the cell reads air. Remove the lock "
      "last."}},
    {AnalogIn::oxygen_cell_tc,
     {"Isolate the heater supply: main switch off, locked and tagged, proved dead. Switch off the "
      "cell's own heater: without its thermocouple it may overheat.",
      "Take the wires off the controller's terminals; give the type K values of 20 °C, of the "
      "cell's temperature and of 50 K above it from a calibrator. Then leave the input open.",
      "The controller reads each; the oxygen reading counts only near the cell's temperature; "
      "open, "
      "it is invalid.",
      "Wires back by polarity, cell heater on; the reading rises to the cell's temperature. Remove "
      "the lock last."}},
    {AnalogIn::oxygen_loop,
     {isolation::heater,
      "Take the transmitter's wires off the controller's terminals; give 4, 12 and 20 mA from a "
      "loop calibrator, then 3.5 and 21.5 mA. Then leave the loop open.",
      "The controller reads low end, middle and high end of the scale, linear or logarithmic as "
      "set; 3.5 mA, 21.5 mA and open: "
      "invalid.",
      "Wires back by polarity; with the door open in fresh air the transmitter reads air. Remove "
      "the lock last."}},
}};
static_assert(in_order(analogs), "check n belongs to AnalogIn n");

constexpr std::array<Check<DigitalOut>, hal::digital_out_count> coils{{
    {DigitalOut::k1, heater_contactor},
    {DigitalOut::k2, heater_contactor},
    {DigitalOut::fan, motor_contactor},
    {DigitalOut::purge_valve, gas_valve},
    {DigitalOut::process_valve, gas_valve},
    {DigitalOut::damper,
     {"Isolate the heater supply and the blowers: switched off, locked and tagged, proved dead. "
      "The "
      "damper's drive and spring move it: guards on, hands out of blade and linkage.",
      "Take the drive's wire off the controller's output; give it 24 V DC from a fused test "
      "supply, then take that away. Time both ways.",
      "Opens to its end within the travel time set; without voltage the spring shuts it to its "
      "end.",
      "Wire back, damper shut, closed end switch on. Remove the locks last."}},
    {DigitalOut::blower, motor_contactor},
    {DigitalOut::run_lamp,
     {lamp_or_button_reason,
      "Take the lamp's wire off the controller's output; give it 24 V DC from a fused test supply.",
      "The white lamp lights, and can be read from where the operator stands.",
      "Wire back; the lamp follows the controller."}},
    {DigitalOut::fault_lamp,
     {lamp_or_button_reason,
      "Take the lamp's wire off the controller's output; give it 24 V DC from a fused test supply.",
      "The yellow lamp lights, and can be read from where the operator stands.",
      "Wire back; the lamp follows the controller: yellow after power-up, until reset."}},
    {DigitalOut::horn,
     {"No isolation: 24 V DC extra-low voltage, nothing moves or flows. Warn people nearby and "
      "wear "
      "hearing protection.",
      "Take the horn's wire off the controller's output; give it 24 V DC from a fused test supply.",
      "The horn sounds, and is heard over the noise of the running plant.",
      "Wire back; the horn is silent."}},
}};
static_assert(in_order(coils), "check n belongs to DigitalOut n");

constexpr LoopCheck heater_drive{
    isolation::heater,
    "Take the wires off the controller's output. Give the power controller's input 4, 12 and 20 mA "
    "from a loop calibrator, then leave it open. Then connect a milliammeter to the controller's "
    "output, in standby.",
    "The power controller shows 0, 50 and 100 % demand, and none when open; the controller gives 4 "
    "mA, or less, in standby.",
    "Wires back by polarity; 4 mA, or less, in the loop. Remove the lock last."};

}  // namespace

const LoopCheck& loop_check_of(const machine::Point& point) {
  switch (point.signal) {
    case machine::Signal::contact_in:
      return contacts[point.index].check;
    case machine::Signal::analog_in:
      return analogs[point.index].check;
    case machine::Signal::coil_out:
      return coils[point.index].check;
    case machine::Signal::analog_out:
      break;
  }
  return heater_drive;
}

}  // namespace ovenproof::evidence

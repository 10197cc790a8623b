#include "sim/machine/io_list.hpp"

#include <algorithm>

namespace ovenproof::machine {

namespace {

using hal::AnalogIn;
using hal::DigitalIn;
using hal::DigitalOut;

constexpr std::string_view isa = "letters of ISA-5.1-2009 table 4.1, numbers free";
constexpr std::string_view iec = "letter of IEC 81346-2, class Q (power contactors), numbers free";

constexpr Point in(DigitalIn point, std::string_view key, std::string_view tag,
                   std::string_view what, Part part = Part::every_oven) {
  return {
      Signal::contact_in, static_cast<std::size_t>(point), key, tag, isa, what, "24 V DC", part};
}
constexpr Point in(AnalogIn point, std::string_view key, std::string_view tag,
                   std::string_view what, std::string_view electrical,
                   Part part = Part::every_oven) {
  return {
      Signal::analog_in, static_cast<std::size_t>(point), key, tag, isa, what, electrical, part};
}
constexpr Point out(DigitalOut point, std::string_view key, std::string_view tag,
                    std::string_view what, Part part = Part::every_oven) {
  return {Signal::coil_out, static_cast<std::size_t>(point), key, tag, isa, what, "24 V DC", part};
}
constexpr Point contactor(DigitalOut point, std::string_view key, std::string_view tag,
                          std::string_view what, Part part = Part::every_oven) {
  return {Signal::coil_out, static_cast<std::size_t>(point), key, tag, iec, what, "24 V DC", part};
}

// What gives mV or ohm is an element (E); a transmitter (T) gives a signal of its own.
constexpr std::array<Point, point_count> points{{
    in(DigitalIn::door_closed_1, "door_closed_1", "ZS-1", "door closed, contact 1"),
    in(DigitalIn::door_closed_2, "door_closed_2", "ZS-2", "door closed, contact 2",
       Part::second_door_contact),
    in(DigitalIn::start_button, "start_button", "HS-1", "start button"),
    in(DigitalIn::stop_button, "stop_button", "HS-2", "stop button, normally closed"),
    in(DigitalIn::reset_button, "reset_button", "HS-3", "reset button"),
    in(DigitalIn::estop_healthy, "estop_healthy", "HSS-1", "emergency stop not operated"),
    in(DigitalIn::limiter_healthy, "limiter_healthy", "TSHH-1", "limiter not tripped"),
    in(DigitalIn::gas_supply_ok, "gas_supply_ok", "PS-1", "gas supply pressure sufficient"),
    in(DigitalIn::purge_flow, "purge_flow", "FS-1", "purge flow proven"),
    in(DigitalIn::process_flow, "process_flow", "FS-2", "process flow proven"),
    in(DigitalIn::fan_running, "fan_running", "FS-3", "circulation airflow proven"),
    in(DigitalIn::k1_open, "k1_open", "YS-1", "regulating contactor open, mirror contact"),
    in(DigitalIn::k2_open, "k2_open", "YS-2", "safety contactor open, mirror contact"),
    in(DigitalIn::damper_open, "damper_open", "ZSO-1", "cooling damper at its open end",
       Part::jacket_cooling),
    in(DigitalIn::damper_closed, "damper_closed", "ZSC-1", "cooling damper at its closed end",
       Part::jacket_cooling),
    in(DigitalIn::blower_running, "blower_running", "FS-4", "cooling airflow proven",
       Part::jacket_cooling),
    in(AnalogIn::te_a, "te_a", "TE-1A", "control thermocouple A", "mV"),
    in(AnalogIn::te_b, "te_b", "TE-1B", "control thermocouple B", "mV", Part::second_thermocouple),
    in(AnalogIn::cold_junction, "cold_junction", "TE-2", "thermocouple terminals", "Pt100"),
    in(AnalogIn::oxygen_cell, "oxygen_cell", "AE-1", "oxygen, zirconia cell", "mV",
       Part::oxygen_cell),
    in(AnalogIn::oxygen_cell_tc, "oxygen_cell_tc", "TE-3", "oxygen cell temperature", "mV, type K",
       Part::oxygen_cell),
    in(AnalogIn::oxygen_loop, "oxygen_loop", "AT-1", "oxygen, transmitter", "4-20 mA",
       Part::oxygen_transmitter),
    contactor(DigitalOut::k1, "k1", "Q1", "regulating contactor"),
    contactor(DigitalOut::k2, "k2", "Q2", "safety contactor"),
    contactor(DigitalOut::fan, "fan", "Q3", "circulation fan, contactor"),
    out(DigitalOut::purge_valve, "purge_valve", "XV-1", "purge valve, spring closed"),
    out(DigitalOut::process_valve, "process_valve", "XV-2", "process valve, spring closed"),
    out(DigitalOut::damper, "damper", "XV-3", "cooling damper, spring closed",
        Part::jacket_cooling),
    contactor(DigitalOut::blower, "blower", "Q4", "cooling blowers, contactor",
              Part::jacket_cooling),
    out(DigitalOut::run_lamp, "run_lamp", "YL-1", "run lamp, white"),
    out(DigitalOut::fault_lamp, "fault_lamp", "YL-2", "fault lamp, yellow"),
    out(DigitalOut::horn, "horn", "YA-1", "horn"),
    {Signal::analog_out, 0, "heater_drive", "TY-1", isa, "heater drive, 0 to 100 %", "4-20 mA",
     Part::every_oven},
}};

}  // namespace

std::span<const Point, point_count> all_points() { return points; }

Tags standard_tags() {
  Tags tags;
  for (std::size_t i = 0; i < point_count; ++i) tags[i] = points[i].standard_tag;
  return tags;
}

bool is_tag(std::string_view text) {
  const auto capital = [](char c) { return c >= 'A' && c <= 'Z'; };
  return !text.empty() && text.size() <= 16 && capital(text.front()) &&
         std::all_of(text.begin(), text.end(), [&](char c) {
           return capital(c) || (c >= '0' && c <= '9') || c == '-' || c == '.';
         });
}

std::string_view short_name(Signal signal) {
  switch (signal) {
    case Signal::contact_in:
      return "DI";
    case Signal::analog_in:
      return "AI";
    case Signal::coil_out:
      return "DO";
    case Signal::analog_out:
      return "AO";
  }
  return "";
}

}  // namespace ovenproof::machine

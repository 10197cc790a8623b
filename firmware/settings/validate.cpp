#include "firmware/settings/validate.hpp"

#include <algorithm>

namespace ovenproof::settings {
namespace {

constexpr Ppm dry_air{209'500.0F};

std::span<const Segment> used(const Programme& programme) {
  const std::size_t count = std::min<std::size_t>(programme.segment_count, max_segments);
  return {programme.segments.data(), count};
}

Celsius highest_target(const Settings& s) {
  Celsius highest = s.programme.segments[0].target;
  for (const Segment& segment : used(s.programme)) highest = std::max(highest, segment.target);
  return highest;
}

float milliseconds(Milliseconds duration) { return static_cast<float>(duration.value); }

/// Shortest purge that can meet the gate, ms.
float least_purge_ms(const Settings& s) {
  const float volumes_min =
      s.purge.minimum_volumes * s.purge.chamber_volume_L / s.purge.counted_flow().value;
  return volumes_min * 60'000.0F + milliseconds(s.purge.gate_hold);
}

/// Shortest time of all ramps and soaks from a cold start, ms.
float least_heating_ms(const Settings& s) {
  float sum = 0.0F;
  float from = 20.0F;
  for (const Segment& segment : used(s.programme)) {
    const float rise = segment.target.value - from;
    sum += (rise < 0.0F ? -rise : rise) / segment.ramp_K_per_min * 60'000.0F;
    sum += milliseconds(segment.soak);
    from = segment.target.value;
  }
  return sum;
}

bool monitored(const Settings& s) { return s.options.oxygen_sensor != OxygenSensor::none; }
bool has_cell(const Settings& s) { return s.options.oxygen_sensor == OxygenSensor::zirconia_cell; }
bool has_transmitter(const Settings& s) {
  return s.options.oxygen_sensor == OxygenSensor::transmitter;
}

struct Contradiction {
  Rule rule;
  std::size_t setting;
  std::size_t other;
  std::string_view expected;
  bool (*present)(const Settings&);
  // What else it depends on: with any of it out of range there is nothing to compare.
  bool on_programme = false;
  std::array<std::size_t, 4> also{setting, setting, setting, setting};
};

constexpr std::array<Contradiction, rule_count> contradictions{{
    {Rule::gate_below_hold_limit,
     index_of("purge.gate"),
     index_of("purge.hold_limit"),
     "purge.gate + gate_hysteresis below purge.hold_limit - hold_hysteresis",
     [](const Settings& s) {
       return monitored(s) && s.purge.gate + s.purge.gate_hysteresis >=
                                  s.purge.hold_limit - s.purge.hold_hysteresis;
     },
     false,
     {index_of("purge.gate_hysteresis"), index_of("purge.hold_hysteresis"),
      index_of("options.oxygen_sensor")}},
    {Rule::process_below_purge_flow, index_of("purge.process_flow"), index_of("purge.purge_flow"),
     "purge.process_flow below purge.purge_flow",
     [](const Settings& s) { return s.purge.process_flow >= s.purge.purge_flow; }},
    {Rule::enough_volumes_without_monitor, index_of("purge.minimum_volumes"),
     index_of("options.oxygen_sensor"),
     "purge.minimum_volumes at least 8 without an oxygen sensor (stirred dilution: 70 ppm)",
     [](const Settings& s) { return !monitored(s) && s.purge.minimum_volumes < 8.0F; }},
    {Rule::purge_fits_timeout,
     index_of("purge.timeout"),
     index_of("purge.minimum_volumes"),
     "purge.timeout longer than minimum_volumes x chamber_volume / (purge_flow x counted_share) + "
     "gate_hold",
     [](const Settings& s) { return least_purge_ms(s) >= milliseconds(s.purge.timeout); },
     false,
     {index_of("purge.chamber_volume"), index_of("purge.purge_flow"),
      index_of("purge.counted_share"), index_of("purge.gate_hold")}},
    {Rule::target_below_high_limit, index_of("temperature.high_limit"),
     index_of("temperature.limit_margin"),
     "temperature.high_limit at least temperature.limit_margin above the highest target",
     [](const Settings& s) {
       return s.temperature.high_limit.value <
              highest_target(s).value + s.temperature.limit_margin.value;
     },
     true},
    {Rule::range_above_high_limit, index_of("temperature.range_high"),
     index_of("temperature.high_limit"), "temperature.range_high above temperature.high_limit",
     [](const Settings& s) { return s.temperature.range_high <= s.temperature.high_limit; }},
    {Rule::target_above_unload, index_of("cooling.unload_temperature"),
     index_of("programme.segment_1.target"), "cooling.unload_temperature below the highest target",
     [](const Settings& s) { return s.cooling.unload_temperature >= highest_target(s); }, true},
    {Rule::heating_fits_timeout, index_of("programme.heating_timeout"),
     index_of("programme.segment_1.soak"),
     "programme.heating_timeout longer than all ramps and soaks from 20 degC",
     [](const Settings& s) {
       return least_heating_ms(s) >= milliseconds(s.programme.heating_timeout);
     },
     true},
    {Rule::warm_up_fits_maximum, index_of("oxygen.cell_settle"), index_of("oxygen.warm_up_maximum"),
     "oxygen.cell_settle below oxygen.warm_up_maximum",
     [](const Settings& s) {
       return has_cell(s) && s.oxygen.cell_settle >= s.oxygen.warm_up_maximum;
     }},
    {Rule::transmitter_log_positive, index_of("oxygen.transmitter_low"),
     index_of("oxygen.transmitter_scale"),
     "oxygen.transmitter_low at least 0.001 ppm on a logarithmic scale",
     [](const Settings& s) {
       return has_transmitter(s) && s.oxygen.transmitter_scale == LoopScale::logarithmic &&
              s.oxygen.transmitter_low < Ppm{0.001F};
     }},
    {Rule::transmitter_includes_air, index_of("oxygen.transmitter_high"),
     index_of("options.oxygen_sensor"), "oxygen.transmitter_high at least 209500 ppm (dry air)",
     [](const Settings& s) { return has_transmitter(s) && s.oxygen.transmitter_high < dry_air; }},
    {Rule::transmitter_resolves_gate, index_of("purge.gate"), index_of("oxygen.transmitter_low"),
     "purge.gate above oxygen.transmitter_low",
     [](const Settings& s) {
       return has_transmitter(s) && s.purge.gate <= s.oxygen.transmitter_low;
     }},
    {Rule::cell_resolves_gate, index_of("purge.gate"), index_of("oxygen.cell_range_low"),
     "purge.gate above oxygen.cell_range_low",
     [](const Settings& s) { return has_cell(s) && s.purge.gate <= s.oxygen.cell_range_low; }},
    {Rule::door_start_needs_two_contacts, index_of("options.start_by_door"),
     index_of("options.door_contacts"), "options.start_by_door only with options.door_contacts 2",
     [](const Settings& s) { return s.options.start_by_door && s.options.door_contacts < 2; }},
    {Rule::discrepancy_beyond_debounce, index_of("contacts.door_discrepancy"),
     index_of("contacts.door_close_debounce"),
     "contacts.door_discrepancy longer than contacts.door_close_debounce",
     [](const Settings& s) {
       return s.options.door_contacts == 2 &&
              s.contacts.door_discrepancy <= s.contacts.door_close_debounce;
     }},
    {Rule::overrun_beyond_period, index_of("scan.overrun_limit"), index_of("scan.period"),
     "scan.overrun_limit longer than scan.period",
     [](const Settings& s) { return s.scan.overrun_limit <= s.scan.period; }},
    {Rule::jump_beyond_overrun, index_of("scan.clock_jump"), index_of("scan.overrun_limit"),
     "scan.clock_jump longer than scan.overrun_limit",
     [](const Settings& s) { return s.scan.clock_jump <= s.scan.overrun_limit; }},
    {Rule::filter_below_derivative, index_of("control.derivative_filter"),
     index_of("control.derivative_time"),
     "control.derivative_filter from a twentieth to the whole of control.derivative_time",
     [](const Settings& s) {
       const float time = milliseconds(s.control.derivative_time);
       const float filter = milliseconds(s.control.derivative_filter);
       return time > 0.0F && (filter > time || filter * 20.0F < time);
     }},
    {Rule::no_rise_below_max_drive, index_of("temperature.no_rise_drive"),
     index_of("control.max_drive"), "temperature.no_rise_drive at most control.max_drive",
     [](const Settings& s) {
       return s.temperature.no_rise_drive_permille > s.control.max_drive_permille;
     }},
}};

constexpr bool in_order() {
  for (std::size_t i = 0; i < contradictions.size(); ++i)
    if (contradictions[i].rule != static_cast<Rule>(i)) return false;
  return true;
}
static_assert(in_order(), "one entry a rule, in the order of Rule");

}  // namespace

Violations validate(const Settings& settings) {
  Violations found;
  const auto fits = [&](std::size_t i) { return in_range(table[i], table[i].get(settings)); };
  bool programme_fits = true;
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (fits(i)) continue;
    found.add(out_of_range(i));
    if (table[i].key.starts_with("programme.")) programme_fits = false;
  }
  for (const Contradiction& c : contradictions) {
    const bool comparable = fits(c.setting) && fits(c.other) &&
                            std::all_of(c.also.begin(), c.also.end(), fits) &&
                            (programme_fits || !c.on_programme);
    if (comparable && c.present(settings))
      found.add({Violation::Problem::contradiction, static_cast<std::uint16_t>(c.setting),
                 static_cast<std::uint16_t>(c.other), c.rule, c.expected});
  }
  return found;
}

}  // namespace ovenproof::settings

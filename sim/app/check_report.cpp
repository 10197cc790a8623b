#include "sim/app/check_report.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "sim/app/sign_off_report.hpp"
#include "sim/app/size_report.hpp"
#include "sim/app/warning_report.hpp"
#include "sim/machine/keys.hpp"
#include "sim/sizing/size.hpp"

namespace ovenproof::app {

namespace {

using machine::Key;
using machine::Machine;

std::string option_text(std::string_view path, const Machine& m) {
  return value_text(*machine::find_key(path), m);
}

std::string what_it_is(const Machine& m) {
  const settings::Options& o = m.settings.options;
  const std::vector<int> widths{24, 53};
  std::string out;
  const auto row = [&](std::string_view name, std::string text) {
    out += table_row({std::string(name), std::move(text)}, widths);
  };
  row("gas", option_text("options.gas", m) + fmt::format(", {} to purge, {} to process",
                                                         option_text("purge.purge_flow", m),
                                                         option_text("purge.process_flow", m)));
  row("chamber", fmt::format("{}, heater {}, exhaust {}", option_text("purge.chamber_volume", m),
                             option_text("heater.power", m),
                             m.plant.exhaust.ducted ? "ducted outside" : "into the room"));
  row("oxygen monitor",
      o.oxygen_sensor == settings::OxygenSensor::none
          ? "none: purge by proven flow and chamber volumes"
          : (o.oxygen_sensor == settings::OxygenSensor::zirconia_cell ? "heated zirconia cell"
                                                                      : "4-20 mA transmitter") +
                fmt::format("; gate {}, hold limit {}", option_text("purge.gate", m),
                            option_text("purge.hold_limit", m)));
  row("start", o.start_by_door ? "by closing the door, when armed" : "by button");
  row("door contacts", fmt::format("{}", o.door_contacts));
  row("control thermocouples",
      fmt::format("{} of type {}", o.thermocouples, option_text("options.thermocouple_type", m)));
  row("cooling", o.jacket_cooling ? fmt::format("forced through the jacket, {}",
                                                option_text("cooling.airflow", m))
                                  : "by losses alone, no jacket cooling");
  row("limits",
      fmt::format("controller {}, hard-wired limiter {}", option_text("temperature.high_limit", m),
                  option_text("limiter.set_point", m)));
  if (!m.load.empty()) row("load", m.load);
  for (std::size_t i = 0; i < m.settings.programme.segment_count; ++i) {
    const auto part = [&](std::string_view name) {
      return value_text(*machine::find_key(fmt::format("programme.segments[].{}", name)), m, i);
    };
    row(i == 0 ? "programme" : "",
        fmt::format("{}. {} at {}, soak {}", i + 1, part("target"), part("ramp"), part("soak")));
  }
  return out;
}

/// What is stated of safety functions, in short; the campaign makes figures of it.
std::string safety_functions(const Machine& m) {
  std::string out;
  for (const safety::Function& each : m.safety.functions) {
    out += table_row(
        {each.category ? fmt::format("category {}", name(*each.category)) : "",
         each.required ? fmt::format("level {} required", name(*each.required)) : "", each.name},
        {11, 16, 47});
  }
  return out;
}

/// What the machine file accepts and excludes, and who signs for it.
std::string accepted(const Machine& m, const Style& style) {
  if (!needs_sign_off(m)) return "";
  std::string out;
  const auto list = [&](const std::vector<machine::ModeRemark>& all, std::string_view what) {
    if (all.empty()) return;
    out += style.heading(fmt::format("{} {}", counted(all.size(), "failure mode"), what)) + '\n' +
           remarks_text(all) + '\n';
  };
  list(m.campaign.accepted, "accepted although hazardous");
  list(m.campaign.excluded, "not tried");
  out += style.heading("Sign-off for these and for the safety functions") + '\n';
  out += sign_off_fault(m) ? style.error("  none that counts, see below") + '\n'
                           : paragraph("by " + signer(m) + ", for this machine", 2, 4);
  return '\n' + out;
}

std::string io_list(const Machine& m) {
  std::string out;
  for (std::size_t i = 0; i < machine::point_count; ++i) {
    const machine::Point& point = machine::all_points()[i];
    if (!has_part(point.part, m.settings.options)) continue;
    out += table_row({m.tags[i], std::string(short_name(point.signal)), std::string(point.what),
                      std::string(point.electrical)},
                     {16, 2, 40, 16});
  }
  return out;
}

/// Keys of the options, the programme and texts are shown above.
bool shown_elsewhere(const Key& key) {
  return key.kind == machine::KeyKind::text || key.path.starts_with("options.") ||
         machine::list_of(key.path) != nullptr;
}

std::string changed(const Machine& m) {
  static const Machine standard = machine::default_machine();
  std::string out;
  for (const Key& key : machine::all_keys()) {
    if (shown_elsewhere(key) || !has_part(key.part, m.settings.options)) continue;
    const std::string mine = value_text(key, m);
    if (key.required) {
      out += table_row({key.path, mine, "(no default)"}, {35, 16, 25});
    } else if (const std::string theirs = value_text(key, standard); mine != theirs) {
      out += table_row({key.path, mine, fmt::format("(default {})", theirs)}, {35, 16, 25});
    }
  }
  return out;
}

/// One line of an error. The place is never broken, however long the path is: tools look for it.
std::string error_line(std::string_view line) {
  const bool related = line.starts_with("    ");
  if (related) line.remove_prefix(4);
  const int indent = related ? 4 : 0;
  const std::size_t place = line.find(": ");
  if (place == std::string_view::npos ||
      columns_of(line.substr(0, place + 1)) + indent + 4 <= terminal_columns) {
    return paragraph(line, indent, indent + 4);
  }
  return std::string(static_cast<std::size_t>(indent), ' ') +
         std::string(line.substr(0, place + 1)) + '\n' +
         paragraph(line.substr(place + 2), indent + 4, indent + 4);
}

}  // namespace

std::string check_report(const Machine& m, const Style& style) {
  std::string out;
  for (const std::string& line : wrapped(m.name, terminal_columns))
    out += style.heading(line) + '\n';
  out += paragraph(machine::shown(m.path, 4096), 2, 2);
  if (!m.description.empty()) out += '\n' + paragraph(m.description, 2, 2);
  out += '\n' + style.heading("What it is") + '\n' + what_it_is(m);
  if (!m.safety.functions.empty()) {
    out += '\n' + style.heading("Safety functions as stated") + '\n' + safety_functions(m);
  }
  out += accepted(m, style);
  out += '\n' + style.heading("I/O list") + '\n' + io_list(m);
  out += '\n' + style.heading("Stated values and those that differ from their default") + '\n' +
         changed(m);
  out += '\n' + style.heading("Estimates by formula (`size` and `run` simulate)") + '\n';
  const sizing::Sizing sizing = sizing::size(m, sizing::formulas_alone());
  for (const sizing::Figure& figure : sizing.figures) {
    out += table_row(
        {figure.what, figure.predicted ? figure_text(*figure.predicted, figure.unit) : "never",
         figure.predicted ? std::string(figure.formula->name) : figure.no_prediction},
        {38, 12, 26});
  }
  for (const std::string& caution : sizing.cautions) {
    out += '\n';
    for (const std::string& line : wrapped("Caution: " + caution, terminal_columns)) {
      out += style.warning(line) + '\n';
    }
  }
  return out;
}

std::string problem_text(const machine::Error& error) {
  std::string out;
  const std::string text = to_text(error);
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    out += error_line(std::string_view(text).substr(begin, end - begin));
    begin = end + 1;
  }
  return out;
}

std::string warning_report(const std::vector<machine::Error>& warnings, const Style& style) {
  if (warnings.empty()) return "";
  std::string out;
  for (const machine::Error& each : warnings) out += problem_text(each);
  return '\n' + style.heading("To be looked at") + '\n' + style.warning(out);
}

std::string error_report(const std::vector<machine::Error>& errors, const Style& style) {
  std::string out;
  for (const machine::Error& error : errors) out += problem_text(error);
  const std::string count =
      errors.size() == 1 ? "1 error" : fmt::format("{} errors", errors.size());
  return out + style.error(count) + '\n';
}

}  // namespace ovenproof::app

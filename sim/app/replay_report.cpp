#include "sim/app/replay_report.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/app/cautions.hpp"

namespace ovenproof::app {
namespace {

using replay::ReplayResult;

/// "2.5 s", "1:02:03": a span.
std::string span_text(std::int64_t ms) {
  if (ms < 120'000) return fmt::format("{:g} s", static_cast<double>(ms) / 1000.0);
  return fmt::format("{}:{:02}:{:02}", ms / 3'600'000, ms / 60'000 % 60, ms / 1000 % 60);
}

/// As the log has it, so that it is found there, and in hours where the log only counts.
std::string time_text(std::int64_t ms, const ReplayResult& result) {
  const replay::TimeFormat format = result.survey.time_format;
  const std::string as_logged = replay::format_time(ms, format);
  const bool counts =
      format == replay::TimeFormat::seconds || format == replay::TimeFormat::milliseconds;
  constexpr std::int64_t longest_ms =
      1000 * 3'600'000LL;  // a log that counts from 1970 has no hours
  if (!counts || ms < 60'000 || ms > longest_ms) return as_logged;
  return fmt::format("{}:{:02}:{:02}.{:03} ({})", ms / 3'600'000, ms / 60'000 % 60, ms / 1000 % 60,
                     ms % 1000, as_logged);
}

std::string plural(std::uint64_t count, std::string_view one) {
  return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s");
}

std::string shown_left_out(std::uint64_t count, std::size_t kept) {
  return count > kept ? paragraph(fmt::format("and {} more", count - kept), 2) : "";
}

std::string outcome_text(const ReplayResult& result, const Style& style) {
  std::string out;
  if (result.nothing_compared()) {
    out += paragraph(
        "NOTHING WAS COMPARED: the firmware's outputs never matched the recording. If the log was "
        "cut at gaps (below), try a longer --gap",
        2, 4);
  }
  if (result.difference_count > 0) {
    out += paragraph(fmt::format("THE FIRMWARE DIFFERS FROM THE RECORDING {}",
                                 result.difference_count == 1
                                     ? "ONCE"
                                     : fmt::format("{} TIMES", result.difference_count)),
                     2, 4);
  } else if (!result.outputs.empty() && !result.nothing_compared()) {
    out += paragraph(
        fmt::format("no difference: {} compared in {}", plural(result.outputs.size(), "output"),
                    plural(result.rows_compared, "row")),
        2, 4);
  } else if (result.outputs.empty()) {
    out += paragraph("no output was recorded, so nothing was compared", 2, 4);
  }
  if (result.broken_count > 0) {
    out += paragraph(fmt::format("THE RECORDING BREAKS {}",
                                 result.broken_count == 1
                                     ? "A PROPERTY"
                                     : fmt::format("PROPERTIES {} TIMES", result.broken_count)),
                     2, 4);
  } else if (result.judged.empty()) {
    out += paragraph("no property could be judged on what was recorded", 2, 4);
  } else {
    out += paragraph(
        fmt::format("of {} judged, none is broken",
                    result.judged.size() == 1 ? "1 property"
                                              : fmt::format("{} properties", result.judged.size())),
        2, 4);
  }
  return result.all_holds() ? style.good(out) : style.error(out);
}

std::string excerpt_text(const std::string& file) {
  return file.empty() ? ""
                      : paragraph(fmt::format("written: {}", machine::shown(file, 4096)), 4, 6);
}

std::string difference_text(const replay::FoundDifference& found, const ReplayResult& result,
                            const Style& style) {
  const replay::Difference& d = found.difference;
  std::string out = style.error(
      paragraph(fmt::format("{}: firmware {}, recorded {}", replay::name_of(d.output),
                            output_text(d.output, d.firmware), output_text(d.output, d.recorded)),
                2, 4));
  out += paragraph(fmt::format("from {} (line {}) to {}{}", time_text(d.from_ms, result), d.line,
                               time_text(d.to_ms, result),
                               d.ended ? fmt::format(", {}", span_text(d.to_ms - d.from_ms))
                                       : ", where the rows end"),
                   4, 6);
  std::string state = fmt::format("the firmware was in phase {}", logic::name_of(d.phase));
  if (d.first_out != logic::Cause::none) {
    state += fmt::format(", tripped by: {}", logic::row_of(d.first_out).text);
  }
  return out + paragraph(state, 4, 6) + excerpt_text(found.excerpt);
}

std::string differences_text(const ReplayResult& result, const Style& style) {
  if (result.differences.empty()) return "";
  std::string out = '\n' + style.heading("Differences") + '\n';
  for (const replay::FoundDifference& each : result.differences) {
    out += difference_text(each, result, style);
  }
  return out + shown_left_out(result.difference_count, result.differences.size());
}

std::string broken_text(const ReplayResult& result, const Style& style) {
  if (result.broken.empty()) return "";
  std::string out = '\n' + style.heading("Properties that the recording breaks") + '\n';
  for (const replay::BrokenProperty& each : result.broken) {
    const replay::NamedProperty& property = result.judged[each.property];
    out += style.error(
        paragraph(fmt::format("{}: {}", property.id, machine::shown(property.title, 200)), 2, 4));
    out += paragraph(fmt::format("certain at {} (line {})", time_text(each.ms, result), each.line),
                     4, 6);
    if (property.title != property.text) {
      out += paragraph(machine::shown(property.text, 1000), 4, 6);
    }
    out += excerpt_text(each.excerpt);
  }
  return out + shown_left_out(result.broken_count, result.broken.size());
}

std::string compared_text(const ReplayResult& result, const Style& style) {
  std::string out = '\n' + style.heading("What was compared") + '\n';
  std::string names;
  for (const replay::ComparedOutput& output : result.outputs) {
    names += fmt::format("{}{}", names.empty() ? "" : ", ", replay::name_of(output.signal));
  }
  if (!names.empty()) out += paragraph("outputs: " + names, 2, 4);
  out += paragraph(
      fmt::format("tolerance: {} earlier or later; heater drive within {:g} % of full power",
                  span_text(result.tolerance.ms), 100.0 * result.tolerance.drive),
      2, 4);
  for (std::size_t i = 0; i < result.stretches.size(); ++i) {
    const replay::Stretch& stretch = result.stretches[i];
    // Many starts of the same kind are one line.
    const auto never = [](const replay::Stretch& each) { return !each.in_step_ms.has_value(); };
    std::size_t last = i;
    while (never(stretch) && last + 1 < result.stretches.size() &&
           never(result.stretches[last + 1])) {
      ++last;
    }
    if (last > i + 1 && !result.outputs.empty()) {
      const replay::Stretch& end = result.stretches[last];
      out += style.warning(paragraph(
          fmt::format("firmware started {} times from {} (line {}) to {} (line {}): NEVER IN STEP, "
                      "so not compared",
                      last - i + 1, time_text(stretch.from_ms, result), stretch.from_line,
                      time_text(end.from_ms, result), end.from_line),
          2, 4));
      i = last;
      continue;
    }
    out += paragraph(fmt::format("firmware started at {} (line {})",
                                 time_text(stretch.from_ms, result), stretch.from_line),
                     2, 4);
    if (result.outputs.empty()) continue;
    if (stretch.in_step_ms) {
      out += paragraph(
          fmt::format("in step and compared from {} to {}", time_text(*stretch.in_step_ms, result),
                      time_text(stretch.to_ms, result)),
          4, 6);
      continue;
    }
    std::string why =
        fmt::format("NEVER IN STEP until {}, so not compared", time_text(stretch.to_ms, result));
    if (!stretch.never_in_step_by.empty()) {
      why += fmt::format("; differed: {}", fmt::join(stretch.never_in_step_by, ", "));
    }
    out += style.warning(paragraph(why, 4, 6));
  }
  return out;
}

std::string log_text(const ReplayResult& result, const Style& style) {
  const replay::Survey& survey = result.survey;
  std::string out = '\n' + style.heading("The log") + '\n';
  out += paragraph(fmt::format("{}, {} to {}; from row to row {} (median)",
                               plural(survey.rows, "row"), time_text(survey.first_ms, result),
                               time_text(survey.last_ms, result), span_text(survey.interval_ms)),
                   2, 4);
  constexpr std::size_t most_gaps = 5;
  for (std::size_t i = 0; i < std::min(most_gaps, result.gaps.size()); ++i) {
    const replay::Gap& gap = result.gaps[i];
    out += style.warning(paragraph(
        fmt::format("gap of {} before line {}: firmware without power, then started again",
                    span_text(gap.to_ms - gap.from_ms), gap.line),
        2, 4));
  }
  out += shown_left_out(result.gap_count, std::min(most_gaps, result.gaps.size()));
  out += paragraph(
      fmt::format("a step of more than {} counts as a gap", span_text(result.gap_limit_ms)), 2, 4);
  if (survey.same_time > 0) {
    out += paragraph(fmt::format("{} with the time of the row before: the last one counts",
                                 plural(survey.same_time, "row")),
                     2, 4);
  }
  if (result.rows_skipped > 0) {
    out += style.warning(paragraph(
        fmt::format("{} in rows, which were left out:", plural(result.rows_skipped, "error")), 2,
        4));
    for (const machine::Error& error : result.skipped) {
      out += paragraph(machine::to_text(error), 4, 6);
    }
    out += shown_left_out(result.rows_skipped, result.skipped.size());
  }
  for (std::size_t i = 0; i < survey.columns.size(); ++i) {
    const replay::ColumnSurvey& column = survey.columns[i];
    if (column.empty == 0) continue;
    const std::string name = machine::shown(result.layout.columns[i].mapping.column);
    out += paragraph(
        column.first ? fmt::format("{}: {} without a value, held; at longest {}", name,
                                   plural(column.empty, "cell"), span_text(column.longest_empty_ms))
                     : fmt::format("{}: no value at all, as if not recorded", name),
        2, 4);
  }
  return out;
}

std::string list_text(std::string_view lead, const std::vector<std::string>& names) {
  if (names.empty()) return "";
  std::string all;
  for (const std::string& name : names) {
    all += fmt::format("{}{}", all.empty() ? "" : ", ", machine::shown(name));
  }
  return paragraph(fmt::format("{}: {}", lead, all), 2, 4);
}

std::string assumptions_text(const ReplayResult& result, const Style& style) {
  std::string out;
  for (const replay::Assumption& each : result.assumptions) {
    out += table_row({std::string(replay::name_of(each.input)), each.text}, {24, 52});
  }
  out += list_text("columns of the mapping that the log lacks", result.layout.missing);
  out += list_text("columns without a meaning, not read", result.layout.ignored);
  return out.empty() ? "" : '\n' + style.heading("Assumed, as it was not recorded") + '\n' + out;
}

std::string judged_text(const ReplayResult& result, const Style& style) {
  std::string out = '\n' + style.heading("Properties, judged on the recording") + '\n';
  std::vector<std::string> names;
  for (const replay::NamedProperty& each : result.judged) names.push_back(each.id);
  out += list_text("judged", names);
  for (const replay::Unjudged& each : result.unjudged) {
    out += paragraph(
        fmt::format("not judged: {} (needs {})", each.property.id, fmt::join(each.missing, ", ")),
        2, 4);
  }
  return out;
}

std::string excerpts_text(const replay::Request& request, const ReplayResult& result) {
  if (!request.out || (result.differences.empty() && result.broken.empty())) return "";
  std::string command = "To replay one: ovenproof replay FILE --machine MACHINE";
  if (request.mapping) command += " --mapping MAP";
  return '\n' + paragraph(
                    "The files written are logs in the columns of this one (CSV), each from a "
                    "start of the firmware to some seconds after the finding; at most ten "
                    "are written. " +
                    command);
}

}  // namespace

std::string output_text(const replay::Signal& output, double value) {
  if (output.role == replay::Role::heater) return fmt::format("{:.1f} %", 100.0 * value);
  return value != 0.0 ? "on" : "off";
}

std::string replay_report(const machine::Machine& machine, const replay::Request& request,
                          const ReplayResult& result, const Style& style) {
  std::string out = style.heading(paragraph(fmt::format(
      "{}: the firmware on {}", machine.name, machine::shown(request.log.string(), 4096))));
  out += outcome_text(result, style);
  out += differences_text(result, style);
  out += broken_text(result, style);
  out += compared_text(result, style);
  out += log_text(result, style);
  out += assumptions_text(result, style);
  out += judged_text(result, style);
  out += excerpts_text(request, result);
  out += '\n' +
         paragraph(
             "A replay shows what the firmware makes of recorded inputs. It says nothing of "
             "what was not recorded, or falls between two rows.") +
         '\n' + paragraph(caution);
  return out;
}

std::string replay_errors(const replay::ErrorList& errors, const Style& style) {
  std::string out;
  for (const machine::Error& error : errors.kept()) {
    out += style.error(paragraph(machine::to_text(error), 0, 4));
  }
  if (errors.left_out() > 0) out += paragraph(fmt::format("and {} more", errors.left_out()));
  return out + paragraph(fmt::format("{}; nothing was replayed", plural(errors.count(), "error")));
}

}  // namespace ovenproof::app

#include "sim/replay/replay.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "sim/replay/excerpt.hpp"
#include "sim/replay/replayer.hpp"

namespace ovenproof::replay {
namespace {

constexpr std::int64_t least_gap_ms = 10'000;
constexpr std::int64_t gap_in_intervals = 10;
constexpr std::int64_t gap_in_regular_steps = 3;
constexpr std::uint64_t rows_between_reports = 4096;

ErrorList list_of(std::vector<machine::Error> errors) {
  ErrorList list;
  for (machine::Error& error : errors) list.add(std::move(error));
  return list;
}

/// One reading of a log from start to end.
class Pass {
 public:
  Pass(const Request& request, const Progress& progress, double from)
      : progress_(progress), from_(from) {
    std::error_code ignored;
    size_ = static_cast<double>(std::filesystem::file_size(request.log, ignored));
  }
  void row(const Sample& sample) {
    if (++rows_ % rows_between_reports == 0 && progress_) {
      progress_(std::min(1.0, from_ + 0.5 * static_cast<double>(sample.end) / size_));
    }
  }

 private:
  const Progress& progress_;
  double from_;
  double size_ = 1.0;
  std::uint64_t rows_ = 0;
};

std::vector<ComparedOutput> outputs_of(const Layout& layout, const Survey& survey,
                                       const machine::Machine& machine) {
  std::vector<ComparedOutput> outputs;
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    const Signal& signal = layout.columns[i].mapping.signal;
    const bool output = signal.role == Role::coil_out || signal.role == Role::heater;
    if (!output || !survey.columns[i].first) continue;
    if (machine::has_part(signal.part, machine.settings.options)) outputs.push_back({signal, i});
  }
  return outputs;
}

}  // namespace

std::variant<ReplayResult, ErrorList> replay(const machine::Machine& machine,
                                             const Request& request, const Progress& progress) {
  Mapping mapping;
  if (request.mapping) {
    LoadedMapping loaded = load_mapping(*request.mapping, machine);
    if (auto* wrong = std::get_if<std::vector<machine::Error>>(&loaded)) {
      return list_of(std::move(*wrong));
    }
    mapping = std::get<Mapping>(std::move(loaded));
  }
  std::vector<machine::Error> errors;
  std::vector<NamedProperty> further;
  for (std::size_t i = 0; i < request.properties.size(); ++i) {
    auto read = read_properties(request.properties[i], i + 1);
    if (auto* wrong = std::get_if<machine::Error>(&read)) {
      errors.push_back(std::move(*wrong));
      continue;
    }
    for (NamedProperty& each : std::get<std::vector<NamedProperty>>(read)) {
      further.push_back(std::move(each));
    }
  }

  LogReader::Opened opened = LogReader::open(request.log, mapping, machine);
  if (auto* wrong = std::get_if<std::vector<machine::Error>>(&opened)) {
    errors.insert(errors.end(), wrong->begin(), wrong->end());
    return list_of(std::move(errors));
  }
  ReplayResult result;
  {
    LogReader& reader = *std::get<std::unique_ptr<LogReader>>(opened);
    Surveyor surveyor(reader.layout().columns.size());
    Pass pass(request, progress, 0.0);
    Sample sample;
    while (reader.next(sample)) {
      surveyor.take(sample);
      pass.row(sample);
    }
    if (!reader.errors().empty() && !request.skip_bad_rows) {
      ErrorList list = list_of(std::move(errors));
      list.append(reader.errors());
      return list;
    }
    result.layout = reader.layout();
    result.survey = surveyor.finish(reader.time_format());
    result.rows_skipped = reader.errors().count();
    result.skipped = reader.errors().kept();
  }
  if (result.survey.rows == 0) {
    errors.push_back({request.log.string(), {}, "", "rows below the header", "none", "", {}});
    return list_of(std::move(errors));
  }

  InputFeed feed(machine, mapping, result.layout, result.survey, request.log.string(), errors);
  JudgedProperties properties(machine, result.layout, further, errors);
  if (!errors.empty()) return list_of(std::move(errors));
  result.period_ms = machine.settings.scan.period.value;
  result.tolerance = {
      request.tolerance_ms.value_or(2 * std::int64_t{result.period_ms} + result.survey.interval_ms),
      request.drive_tolerance};
  result.gap_limit_ms =
      request.gap_ms.value_or(std::max({least_gap_ms, gap_in_intervals * result.survey.interval_ms,
                                        gap_in_regular_steps * result.survey.regular_step_ms}));
  result.assumptions = feed.assumptions();
  result.outputs = outputs_of(result.layout, result.survey, machine);
  result.judged = properties.judged();
  result.unjudged = properties.unjudged();
  if (result.outputs.empty() && result.judged.empty()) {
    errors.push_back({request.log.string(),
                      {},
                      "",
                      "an output to compare, or signals to judge a property by",
                      "neither",
                      "",
                      {}});
    return list_of(std::move(errors));
  }

  opened = LogReader::open(request.log, mapping, machine);
  if (auto* wrong = std::get_if<std::vector<machine::Error>>(&opened)) {
    return list_of(std::move(*wrong));
  }
  LogReader& reader = *std::get<std::unique_ptr<LogReader>>(opened);
  Replayer replayer(machine, feed, properties, request.from_power_up, result);
  Pass pass(request, progress, 0.5);
  Sample sample;
  while (reader.next(sample)) {
    replayer.take(sample);
    pass.row(sample);
  }
  replayer.finish();
  if (request.out) write_excerpts(request.log, *request.out, result);
  return result;
}

}  // namespace ovenproof::replay

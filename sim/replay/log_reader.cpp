#include "sim/replay/log_reader.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <limits>
#include <system_error>
#include <utility>

#include <fmt/format.h>

#include "sim/replay/layout.hpp"

namespace ovenproof::replay {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
constexpr std::int64_t half_day_ms = 43'200'000;
constexpr double largest_value = 1e12;

bool same_word(std::string_view text, std::string_view word) {
  return text.size() == word.size() &&
         std::equal(text.begin(), text.end(), word.begin(), [](char a, char b) {
           return (a >= 'A' && a <= 'Z' ? static_cast<char>(a - 'A' + 'a') : a) == b;
         });
}

template <std::size_t N>
bool is_one_of(std::string_view text, const std::array<std::string_view, N>& words) {
  return std::any_of(words.begin(), words.end(),
                     [text](std::string_view word) { return same_word(text, word); });
}

/// What recorders write where they have no value.
bool is_nothing(std::string_view text) {
  static constexpr std::array<std::string_view, 9> words{"",     "nan",  "na", "n/a", "#n/a",
                                                         "null", "none", "-",  "--"};
  return is_one_of(text, words);
}

std::optional<bool> parse_boolean(std::string_view text) {
  static constexpr std::array<std::string_view, 7> yes{"1",   "true", "on", "closed",
                                                       "yes", "1.0",  "1,0"};
  static constexpr std::array<std::string_view, 7> no{"0",  "false", "off", "open",
                                                      "no", "0.0",   "0,0"};
  if (is_one_of(text, yes)) return true;
  if (is_one_of(text, no)) return false;
  return std::nullopt;
}

std::optional<double> parse_state(std::string_view text, const rig::Probe& probe) {
  for (std::size_t i = 0; i < probe.labels.size(); ++i) {
    if (same_word(text, probe.labels[i])) return static_cast<double>(i);
  }
  return std::nullopt;
}

std::string in_quotes(std::string_view text) { return fmt::format("\"{}\"", machine::shown(text)); }

}  // namespace

LogReader::LogReader(const std::filesystem::path& path, const Mapping& mapping)
    : file_(path.string()), format_(mapping.time_format), decimal_(mapping.decimal) {}

LogReader::Opened LogReader::open(const std::filesystem::path& path, const Mapping& mapping,
                                  const machine::Machine& machine) {
  std::vector<machine::Error> errors;
  const auto refusal = [&path](std::string found) {
    return std::vector<machine::Error>{
        {path.string(), {}, "", "a readable CSV file", std::move(found), "", {}}};
  };
  std::error_code failure;
  const std::filesystem::file_status status = std::filesystem::status(path, failure);
  if (status.type() == std::filesystem::file_type::not_found) return refusal("no such file");
  if (failure) return refusal(failure.message());
  // It is read twice, which a pipe or a device does not allow.
  if (!std::filesystem::is_regular_file(status)) return refusal("no regular file");

  std::unique_ptr<LogReader> reader(new LogReader(path, mapping));
  errno = 0;
  reader->in_.open(path, std::ios::binary);
  if (!reader->in_) {
    return refusal(errno == 0 ? "a file that cannot be opened"
                              : std::generic_category().message(errno));
  }
  LogHead head;
  if (auto error =
          read_head(reader->in_, reader->file_, mapping.header_line, mapping.delimiter, head)) {
    return std::vector<machine::Error>{std::move(*error)};
  }
  reader->layout_ = lay_out(std::move(head), reader->file_, mapping, machine, errors);
  if (!errors.empty()) return errors;
  const LogHead& found = reader->layout_.head;
  if (reader->decimal_ == 0 && found.delimiter != ';') reader->decimal_ = '.';
  reader->csv_ = std::make_unique<CsvReader>(reader->in_, found.delimiter, reader->file_,
                                             found.next_line, found.next_begin);
  return reader;
}

void LogReader::refuse(machine::Place at, std::string key, std::string expected, std::string found,
                       std::string hint) {
  errors_.add(
      {file_, at, std::move(key), std::move(expected), std::move(found), std::move(hint), {}});
}

bool LogReader::next(Sample& sample) {
  machine::Error error;
  for (;;) {
    switch (csv_->next(row_, error)) {
      case CsvReader::Got::end:
        return false;
      case CsvReader::Got::error:
        errors_.add(std::move(error));
        break;
      case CsvReader::Got::row:
        if (understand(row_, sample)) return true;
        break;
    }
  }
}

bool LogReader::understand(const Row& row, Sample& sample) {
  const std::size_t width = layout_.head.names.size();
  const bool trailing = row.size == width + 1 && row.cells[width].text.empty();
  if (row.size != width && !trailing) {
    refuse({row.line, 1}, "", fmt::format("{} cells, as in the header", width),
           fmt::format("{}", row.size),
           row.cut_off ? "the file ends in the middle of a row: it was cut off" : "");
    return false;
  }
  const std::size_t errors_before = errors_.count();
  sample.line = row.line;
  sample.begin = row.begin;
  sample.end = row.end;
  const auto last = last_ms_;
  const std::int64_t day = day_ms_;
  const bool timed = understand_time(row.cells[layout_.time_cell], sample);
  sample.values.resize(layout_.columns.size());
  for (std::size_t i = 0; i < layout_.columns.size(); ++i) {
    const Column& column = layout_.columns[i];
    sample.values[i] = understand_cell(row.cells[column.cell], column.mapping).value_or(nothing);
  }
  if (timed && errors_.count() == errors_before) return true;
  last_ms_ = last;  // a bad row must not set the clock
  day_ms_ = day;
  return false;
}

bool LogReader::understand_time(const Cell& cell, Sample& sample) {
  if (format_ == TimeFormat::automatic) {
    format_ = guess_format(layout_.head.names[layout_.time_cell].text, cell.text);
  }
  const auto read = parse_time(cell.text, format_, decimal_);
  if (!read) {
    refuse(cell.at, "time", std::string(example_of(format_)), in_quotes(cell.text));
    return false;
  }
  sample.ms = *read + day_ms_;
  if (last_ms_ && format_ == TimeFormat::clock && *last_ms_ - sample.ms >= half_day_ms) {
    day_ms_ += 2 * half_day_ms;
    sample.ms += 2 * half_day_ms;
  }
  if (last_ms_ && sample.ms < *last_ms_) {
    refuse(cell.at, "time", fmt::format("{} or later", format_time(*last_ms_, format_)),
           in_quotes(cell.text), "time goes backwards");
    return false;
  }
  last_ms_ = sample.ms;
  return true;
}

std::optional<double> LogReader::understand_cell(const Cell& cell, const ColumnMapping& column) {
  const rig::Probe& probe = rig::probes()[column.signal.probe];
  // A state may have one of these words for a name: "none" is a first-out.
  if (probe.kind == rig::ProbeKind::state) {
    if (const auto value = parse_state(cell.text, probe)) return value;
  }
  if (is_nothing(cell.text)) return std::nullopt;
  const auto refuse_as = [&](std::string expected) {
    refuse(cell.at, machine::shown(column.column), std::move(expected), in_quotes(cell.text));
    return std::nullopt;
  };
  switch (probe.kind) {
    case rig::ProbeKind::boolean: {
      const auto value = parse_boolean(cell.text);
      if (!value) return refuse_as("0 or 1, true or false, closed or open, on or off");
      return *value != column.invert ? 1.0 : 0.0;
    }
    case rig::ProbeKind::state: {
      return refuse_as(fmt::format("one of {}", fmt::join(probe.labels, ", ")));
    }
    case rig::ProbeKind::number:
      break;
  }
  const auto number = parse_number(cell.text, decimal_);
  if (!number) return refuse_as("a number");
  const double value = *number * column.scale + column.offset;
  if (!(std::fabs(value) <= largest_value)) return refuse_as("a number within 1e12");
  if (column.unit.kind == ReadingUnit::Kind::counts && (value < 0.0 || value > 65535.0)) {
    return refuse_as("counts from 0 to 65535");
  }
  if (column.unit.kind == ReadingUnit::Kind::fraction && value < 0.0) {
    return refuse_as("a mole fraction of 0 or more");
  }
  if (column.unit.kind == ReadingUnit::Kind::converted) {
    const bool point = column.unit.from.dimension == properties::temperature_dimension;
    return properties::convert(value, column.unit.from, column.unit.to, point);
  }
  return value;
}

}  // namespace ovenproof::replay

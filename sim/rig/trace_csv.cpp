#include "sim/rig/trace_csv.hpp"

#include <iterator>
#include <utility>

#include <fmt/format.h>

#include "sim/rig/probes.hpp"

namespace ovenproof::rig {
namespace {

/// As a person reads it: states by name, booleans 0 and 1, numbers with seven digits.
void append_value(std::string& line, const Probe& probe, double value) {
  switch (probe.kind) {
    case ProbeKind::boolean:
      line += value != 0.0 ? '1' : '0';
      break;
    case ProbeKind::state:
      line += probe.labels[static_cast<std::size_t>(value)];
      break;
    case ProbeKind::number:
      fmt::format_to(std::back_inserter(line), "{:.7g}", value);
      break;
  }
}

}  // namespace

bool traced(const Rig& rig, std::uint32_t every_ms) {
  // Scans need not fall on the multiples.
  const mock::VirtualMs before_ms = rig.now_ms() - rig.period_ms();
  return rig.now_ms() / every_ms != before_ms / every_ms;
}

TraceCsv::TraceCsv(std::filesystem::path path, std::uint32_t every_ms)
    : file_(std::move(path)), row_(probes().size()), every_ms_(every_ms) {
  line_ = "time [s]";
  for (const Probe& probe : probes()) {
    line_ += ',';
    line_ += probe.name;
    if (!probe.unit.empty()) fmt::format_to(std::back_inserter(line_), " [{}]", probe.unit);
  }
  line_ += '\n';
  // A file that takes no header would take nothing: better told before the run.
  file_.stream() << line_;
  file_.flush();
}

void TraceCsv::observe(const Rig& rig) {
  if (!traced(rig, every_ms_)) return;
  read_all(rig, row_);
  line_.clear();
  fmt::format_to(std::back_inserter(line_), "{}.{:03}", rig.now_ms() / 1000, rig.now_ms() % 1000);
  for (std::size_t i = 0; i < row_.size(); ++i) {
    line_ += ',';
    append_value(line_, probes()[i], row_[i]);
  }
  line_ += '\n';
  file_.stream() << line_;
}

}  // namespace ovenproof::rig

#include "sim/rig/trace_csv.hpp"

#include <iterator>
#include <stdexcept>
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

TraceCsv::TraceCsv(std::filesystem::path path, std::uint32_t every_ms)
    : path_(std::move(path)), part_(path_), every_ms_(every_ms) {
  if (!path_.has_filename() || std::filesystem::is_directory(path_)) {
    throw std::runtime_error(
        fmt::format("cannot write {}: not the name of a file", path_.string()));
  }
  part_ += ".part";
  file_.open(part_, std::ios::binary | std::ios::trunc);
  line_ = "time [s]";
  for (const Probe& probe : probes()) {
    line_ += ',';
    line_ += probe.name;
    if (!probe.unit.empty()) fmt::format_to(std::back_inserter(line_), " [{}]", probe.unit);
  }
  line_ += '\n';
  // A file that takes no header would take nothing: better told before the run.
  part_is_ours_ = file_.is_open();
  file_ << line_ << std::flush;
  if (file_) return;
  remove_part();
  throw std::runtime_error(fmt::format("cannot write {}", part_.string()));
}

TraceCsv::~TraceCsv() { remove_part(); }

void TraceCsv::remove_part() {
  if (!part_is_ours_) return;
  file_.close();
  std::error_code ignored;
  std::filesystem::remove(part_, ignored);
}

void TraceCsv::observe(const Rig& rig) {
  // Scans need not fall on the multiples: the first at or after each is written.
  const mock::VirtualMs before_ms = rig.now_ms() - rig.period_ms();
  if (rig.now_ms() / every_ms_ == before_ms / every_ms_) return;
  line_.clear();
  fmt::format_to(std::back_inserter(line_), "{}.{:03}", rig.now_ms() / 1000, rig.now_ms() % 1000);
  for (const Probe& probe : probes()) {
    line_ += ',';
    append_value(line_, probe, probe.read(rig));
  }
  line_ += '\n';
  file_ << line_;
}

void TraceCsv::finish() {
  file_.close();
  if (!file_) throw std::runtime_error(fmt::format("cannot write {}", part_.string()));
  std::filesystem::rename(part_, path_);
  part_is_ours_ = false;
}

}  // namespace ovenproof::rig

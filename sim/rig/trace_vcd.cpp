#include "sim/rig/trace_vcd.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

#include <fmt/format.h>

#include "sim/rig/probes.hpp"
#include "sim/rig/trace_csv.hpp"

namespace ovenproof::rig {
namespace {

/// Identifier code of a variable: digits in base 94 of the printable characters `!` to `~`.
std::string code_of(std::size_t index) {
  std::string code;
  do {
    code += static_cast<char>('!' + index % 94);
    index /= 94;
  } while (index > 0);
  return code;
}

/// Bits that hold every label's index.
unsigned width_of(const Probe& probe) {
  unsigned width = 1;
  while ((std::size_t{1} << width) < probe.labels.size()) ++width;
  return width;
}

/// "plant" of "plant.gas"; "controller" of what has no group.
std::string_view scope_of(std::string_view name) {
  const std::size_t dot = name.find('.');
  return dot == std::string_view::npos ? "controller" : name.substr(0, dot);
}

std::string_view own_name(std::string_view name) { return name.substr(name.find('.') + 1); }

void append_value(std::string& text, const Probe& probe, double value, std::size_t index) {
  const auto out = std::back_inserter(text);
  switch (probe.kind) {
    case ProbeKind::boolean:
      fmt::format_to(out, "{}{}\n", value != 0.0 ? '1' : '0', code_of(index));
      break;
    case ProbeKind::number:
      fmt::format_to(out, "r{:.9g} {}\n", value, code_of(index));
      break;
    case ProbeKind::state:
      fmt::format_to(out, "b{:b} {}\n", static_cast<std::uint64_t>(value), code_of(index));
      break;
  }
}

}  // namespace

TraceVcd::TraceVcd(std::filesystem::path path, std::uint32_t every_ms)
    : file_(std::move(path)), row_(probes().size()), every_ms_(every_ms) {
  write_header();
  file_.flush();
}

void TraceVcd::write_header() {
  std::string text =
      "$version Ovenproof: simulated, no recording of a real oven $end\n$timescale 1 ms $end\n";
  const auto out = std::back_inserter(text);
  for (const Probe& probe : probes()) {
    if (probe.kind == ProbeKind::number && !probe.unit.empty()) {
      fmt::format_to(out, "$comment {} in {} $end\n", probe.name, probe.unit);
    }
    if (probe.kind != ProbeKind::state) continue;
    fmt::format_to(out, "$comment {}:", probe.name);
    for (std::size_t i = 0; i < probe.labels.size(); ++i) {
      fmt::format_to(out, " {}={}", i, probe.labels[i]);
    }
    text += " $end\n";
  }
  text += "$scope module oven $end\n";
  // A scope is declared once, wherever its probes stand in the list.
  std::vector<std::string_view> scopes;
  for (const Probe& probe : probes()) {
    const std::string_view scope = scope_of(probe.name);
    if (std::find(scopes.begin(), scopes.end(), scope) == scopes.end()) scopes.push_back(scope);
  }
  for (const std::string_view scope : scopes) {
    fmt::format_to(out, "$scope module {} $end\n", scope);
    for (std::size_t i = 0; i < probes().size(); ++i) {
      const Probe& probe = probes()[i];
      if (scope_of(probe.name) != scope) continue;
      const unsigned width = probe.kind == ProbeKind::boolean  ? 1
                             : probe.kind == ProbeKind::number ? 64
                                                               : width_of(probe);
      fmt::format_to(out, "$var {} {} {} {} $end\n",
                     probe.kind == ProbeKind::boolean  ? "wire"
                     : probe.kind == ProbeKind::number ? "real"
                                                       : "reg",
                     width, code_of(i), own_name(probe.name));
    }
    text += "$upscope $end\n";
  }
  text += "$upscope $end\n$enddefinitions $end\n";
  file_.stream() << text;
}

void TraceVcd::observe(const Rig& rig) {
  if (!traced(rig, every_ms_)) return;
  read_all(rig, row_);
  text_.clear();
  const auto out = std::back_inserter(text_);
  fmt::format_to(out, "#{}\n", rig.now_ms());
  if (!begun_) text_ += "$dumpvars\n";
  for (std::size_t i = 0; i < row_.size(); ++i) {
    if (!begun_ || row_[i] != last_[i]) append_value(text_, probes()[i], row_[i], i);
  }
  if (!begun_) text_ += "$end\n";
  begun_ = true;
  last_ = row_;
  file_.stream() << text_;
}

}  // namespace ovenproof::rig

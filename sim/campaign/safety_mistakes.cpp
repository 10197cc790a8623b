#include <algorithm>

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/campaign/safety_figures.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/machine/suggest.hpp"

namespace ovenproof::campaign {

namespace {

using Names = std::vector<std::string>;

class Mistakes {
 public:
  explicit Mistakes(std::string file) : file_(std::move(file)) {}

  void add(machine::Place at, std::string key, std::string expected, const std::string& found,
           std::string hint = "") {
    errors_.push_back({file_,
                       at,
                       std::move(key),
                       std::move(expected),
                       fmt::format("\"{}\"", machine::shown(found)),
                       std::move(hint),
                       {}});
  }

  void unknown(machine::Place at, const std::string& key, const std::string& what,
               const Names& names, const Names& known) {
    for (const std::string& name : names) {
      if (std::find(known.begin(), known.end(), name) != known.end()) continue;
      const std::string near = machine::nearest(name, known);
      add(at, key, what, name, near.empty() ? "" : fmt::format("did you mean {}?", near));
    }
  }

  std::vector<machine::Error> take() && { return std::move(errors_); }

 private:
  std::string file_;
  std::vector<machine::Error> errors_;
};

void check_modes(Mistakes& mistakes, const safety::Component& part, const std::string& key,
                 const Names& known) {
  const machine::Place at{part.line, part.column};
  Names modes;
  double sum = 0.0;
  std::size_t with_share = 0;
  for (const std::string& text : part.modes) {
    const std::optional<safety::ModeShare> read = safety::mode_share(text);
    if (!read) {
      mistakes.add(at, key, "a failure mode, or one with its share: Q1.welded 80 %", text);
      continue;
    }
    modes.push_back(read->mode);
    sum += read->share.value_or(0.0);
    with_share += read->share ? 1 : 0;
  }
  mistakes.unknown(at, key, "failure modes of this machine (ovenproof campaign --list)", modes,
                   known);
  if (with_share != 0 && with_share != modes.size()) {
    mistakes.add(at, key, "a share behind each failure mode or behind none",
                 fmt::format("{} of {}", with_share, modes.size()));
  } else if (with_share != 0 && (sum > 1.0 + 1e-9 || sum < 1.0 - 1e-9)) {
    mistakes.add(at, key, "shares that add up to 100 %", fmt::format("{:.4g} %", sum * 100.0));
  }
}

}  // namespace

std::vector<machine::Error> safety_mistakes(const machine::Machine& machine, const Plan& plan) {
  Mistakes mistakes(machine.path);
  Names modes;
  for (const Mode& each : plan.modes) modes.push_back(each.id);
  Names hazards;
  for (const hazards::Hazard& each : hazards::default_hazards()) hazards.push_back(each.id);
  Names causes;
  for (std::size_t i = 0; i < logic::cause_count; ++i) {
    causes.emplace_back(logic::row_of(static_cast<logic::Cause>(i)).key);
  }
  for (std::size_t i = 0; i < machine.safety.components.size(); ++i) {
    check_modes(mistakes, machine.safety.components[i],
                fmt::format("safety.components[{}].modes", i + 1), modes);
  }
  for (std::size_t i = 0; i < machine.safety.functions.size(); ++i) {
    const safety::Function& each = machine.safety.functions[i];
    const machine::Place at{each.line, each.column};
    const std::string key = fmt::format("safety.functions[{}]", i + 1);
    mistakes.unknown(at, key + ".hazards", "hazards (docs/hazards.md)", each.hazards, hazards);
    mistakes.unknown(at, key + ".causes", "causes of the matrix", each.causes, causes);
  }
  return std::move(mistakes).take();
}

}  // namespace ovenproof::campaign

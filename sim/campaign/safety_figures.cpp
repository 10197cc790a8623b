#include "sim/campaign/safety_figures.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/hazards/hazards.hpp"

namespace ovenproof::campaign {

namespace {

using safety::ModeFate;

/// What the function is about, by index.
struct Scope {
  std::array<bool, logic::cause_count> causes{};
  std::vector<bool> hazards;

  explicit Scope(const safety::Function& function) {
    const auto among = [](const std::vector<std::string>& names, std::string_view name) {
      return names.empty() || std::find(names.begin(), names.end(), name) != names.end();
    };
    for (const hazards::Hazard& each : hazards::default_hazards()) {
      hazards.push_back(among(function.hazards, each.id));
    }
    for (std::size_t i = 0; i < logic::cause_count; ++i) {
      causes[i] = among(function.causes, logic::row_of(static_cast<logic::Cause>(i)).key);
    }
  }

  [[nodiscard]] bool hurt(const Result& result) const {
    return std::any_of(result.hazards.begin(), result.hazards.end(),
                       [&](const HazardHit& hit) { return hazards.at(hit.hazard); });
  }
};

/// Of a hazard that another function protects from remains what the controller noticed.
ModeFate fate_of(const Result& result, const Scope& scope) {
  switch (result.outcome) {
    case Outcome::hazardous:
      if (scope.hurt(result)) return ModeFate::hazardous;
      return result.detection ? ModeFate::noticed : ModeFate::unnoticed;
    case Outcome::unnoticed:
      return ModeFate::unnoticed;
    case Outcome::noticed:
      return ModeFate::noticed;
    case Outcome::outage:
      return ModeFate::outage;
    case Outcome::no_effect:
    case Outcome::count:
      break;
  }
  return ModeFate::no_effect;
}

/// The results of each mode alone.
std::vector<std::vector<const Result*>> by_mode(const Plan& plan, std::span<const Result> results) {
  std::vector<std::vector<const Result*>> sorted(plan.modes.size());
  for (const Result& result : results) {
    if (result.number < plan.singles) {
      sorted[plan.injections[result.number].mode].push_back(&result);
    }
  }
  return sorted;
}

std::optional<std::size_t> index_of(const Plan& plan, std::string_view id) {
  const auto found = std::find_if(plan.modes.begin(), plan.modes.end(),
                                  [&](const Mode& each) { return each.id == id; });
  if (found == plan.modes.end()) return std::nullopt;
  return static_cast<std::size_t>(found - plan.modes.begin());
}

void take_slower(std::optional<Reaction>& slowest, const Result& result) {
  if (!result.detection) return;
  const Reaction mine{result.detection->reaction_ms, result.number};
  const bool slower = !slowest || mine.ms > slowest->ms ||
                      (mine.ms == slowest->ms && mine.number < slowest->number);
  if (slower) slowest = mine;
}

class Figures {
 public:
  Figures(const machine::Machine& machine, const Plan& plan, std::span<const Result> results)
      : declared_(machine.safety),
        plan_(plan),
        results_(results),
        singles_(by_mode(plan, results)),
        planned_(plan.modes.size()) {
    for (std::size_t i = 0; i < plan.singles; ++i) ++planned_[plan.injections[i].mode];
  }

  [[nodiscard]] SafetyFunction of(const safety::Function& stated) const {
    SafetyFunction figures;
    figures.stated = &stated;
    const Scope scope(stated);
    std::vector<bool> dangerous(plan_.modes.size());
    for (const auto* names : {&stated.channel_1, &stated.channel_2}) {
      for (const std::string& name : *names) {
        const safety::Component* part = safety::find_component(declared_, name);
        if (part == nullptr || find(figures, name) != nullptr) continue;
        figures.components.push_back(component(*part, scope, dangerous, figures));
      }
    }
    take_demands(scope, dangerous, figures);
    figures.estimate = safety::estimate(
        declared_, stated, [&](const safety::Component& part) -> std::optional<double> {
          const SafetyComponent* found = find(figures, part.name);
          return found == nullptr ? std::nullopt : found->coverage;
        });
    return figures;
  }

 private:
  static const SafetyComponent* find(const SafetyFunction& figures, const std::string& name) {
    for (const SafetyComponent& each : figures.components) {
      if (each.name == name) return &each;
    }
    return nullptr;
  }

  SafetyComponent component(const safety::Component& part, const Scope& scope,
                            std::vector<bool>& dangerous, SafetyFunction& figures) const {
    SafetyComponent out;
    out.name = part.name;
    std::vector<safety::ModeSeen> seen;
    for (const std::string& text : part.modes) {
      const std::optional<safety::ModeShare> stated = safety::mode_share(text);
      const std::optional<std::size_t> mode = stated ? index_of(plan_, stated->mode) : std::nullopt;
      if (!mode) continue;  // told by safety_mistakes
      dangerous[*mode] = true;
      SafetyMode row = judged(*mode, scope, figures.fault);
      row.share = stated->share.value_or(1.0 / static_cast<double>(part.modes.size()));
      seen.push_back({row.share, row.fate});
      ++figures.fates[static_cast<std::size_t>(row.fate)];
      out.modes.push_back(std::move(row));
    }
    out.claimed = part.modes.empty() && part.claimed_coverage.has_value();
    out.coverage = part.modes.empty() ? part.claimed_coverage : safety::component_coverage(seen);
    return out;
  }

  SafetyMode judged(std::size_t mode, const Scope& scope, std::optional<Reaction>& slowest) const {
    SafetyMode row;
    row.mode = plan_.modes[mode].id;
    if (plan_.modes[mode].excluded) {
      row.fate = ModeFate::excluded;
      return row;
    }
    const bool whole = singles_[mode].size() == planned_[mode];
    for (const Result* result : singles_[mode]) {
      if (result->decided == Decided::never_met) continue;
      const ModeFate fate = fate_of(*result, scope);
      if (!row.number || fate < row.fate) {
        row.fate = fate;
        row.number = result->number;
      }
      if (fate == ModeFate::noticed) take_slower(slowest, *result);
    }
    if (!whole && row.fate != ModeFate::hazardous) row.fate = ModeFate::not_tried;
    return row;
  }

  /// Demands while one of the function's dangerous failures sleeps, answered by its causes.
  void take_demands(const Scope& scope, const std::vector<bool>& dangerous,
                    SafetyFunction& figures) const {
    for (const Result& result : results_) {
      const Injection& injection = plan_.injections[result.number];
      if (!injection.second || !injection.second->demand || !dangerous[injection.mode]) continue;
      const bool answered = result.detection && result.detection->first_out != logic::Cause::none &&
                            scope.causes[static_cast<std::size_t>(result.detection->first_out)];
      if (answered) take_slower(figures.demand, result);
    }
  }

  const safety::Declared& declared_;
  const Plan& plan_;
  std::span<const Result> results_;
  std::vector<std::vector<const Result*>> singles_;
  std::vector<std::size_t> planned_;  ///< single injections of each mode
};

std::optional<std::uint64_t> allowed_ms(const safety::Function& stated) {
  if (!stated.process_safety_time_s) return std::nullopt;
  return static_cast<std::uint64_t>(*stated.process_safety_time_s * 1000.0 + 0.5);
}

}  // namespace

std::string short_duration(std::uint64_t ms) {
  if (ms < 1'000) return fmt::format("{} ms", ms);
  const double s = static_cast<double>(ms) / 1000.0;
  if (s < 120.0) return fmt::format("{:.3g} s", s);
  if (s < 7'200.0) return fmt::format("{:.3g} min", s / 60.0);
  return fmt::format("{:.3g} h", s / 3600.0);
}

std::vector<std::string> misses(const SafetyFunction& function) {
  std::vector<std::string> all;
  const std::optional<std::uint64_t> allowed = allowed_ms(*function.stated);
  const auto late = [&](std::string_view what, const std::optional<Reaction>& slowest) {
    if (!allowed || !slowest || slowest->ms <= *allowed) return;
    all.push_back(fmt::format("slowest {} {} (#{}), {} allowed", what, short_duration(slowest->ms),
                              slowest->number, short_duration(*allowed)));
  };
  late("notice", function.fault);
  late("answer to a demand", function.demand);
  // In these a single fault does not lead to the loss of the function (from memory: ISO
  // 13849-1:2015, 6.2.6 and 6.2.7: check against the standard).
  const auto& category = function.stated->category;
  const unsigned hazardous = function.fates[static_cast<std::size_t>(ModeFate::hazardous)];
  if (hazardous > 0 &&
      (category == safety::Category::three || category == safety::Category::four)) {
    all.push_back(
        fmt::format("{} of its dangerous single failures end{} in a hazard, none may in "
                    "category {}",
                    hazardous, hazardous == 1 ? "s" : "", name(*category)));
  }
  all.insert(all.end(), function.estimate.shortfalls.begin(), function.estimate.shortfalls.end());
  return all;
}

bool is_open(const SafetyFunction& function) {
  const safety::Function& stated = *function.stated;
  const bool judged_by = stated.required || stated.process_safety_time_s;
  const bool level_open = stated.required && !function.estimate.level;
  const bool time_open = stated.process_safety_time_s && !function.fault;
  return !judged_by || level_open || time_open ||
         function.fates[static_cast<std::size_t>(ModeFate::not_tried)] > 0;
}

std::vector<SafetyFunction> safety_figures(const machine::Machine& machine, const Plan& plan,
                                           std::span<const Result> results) {
  const Figures figures(machine, plan, results);
  std::vector<SafetyFunction> all;
  for (const safety::Function& each : machine.safety.functions) all.push_back(figures.of(each));
  return all;
}

}  // namespace ovenproof::campaign

#include "sim/campaign/plan.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "sim/campaign/branch.hpp"
#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/instants.hpp"
#include "sim/machine/keys.hpp"

namespace ovenproof::campaign {
namespace {

std::size_t random_instants(std::size_t least) { return least > 40 ? least - 34 : 6; }

std::string realisation_text(const Realisation& how) {
  std::string text(name(how.onset));
  for (const scenario::Action& action : how.actions) text += fmt::format(" [{}]", action.text);
  return text;
}

std::string modes_text(const std::vector<Mode>& modes) {
  std::string text;
  for (const Mode& mode : modes) {
    text += fmt::format("mode {}{}:", mode.id, mode.excluded ? " excluded" : "");
    for (const Realisation& how : mode.realisations) text += ' ' + realisation_text(how);
    for (const logic::Cause cause : mode.right_first_outs) {
      text += fmt::format(" {}", logic::row_of(cause).key);
    }
    text += '\n';
  }
  return text;
}

}  // namespace

Plan make_plan(const Nominal& nominal, const PlanOptions& options) {
  Plan plan;
  plan.modes = catalogue(nominal.oven().machine);
  plan.demands = demands();
  const Instants instants =
      choose_instants(nominal, random_instants(options.instants), options.seed);
  plan.instants = instants.all;
  for (std::size_t m = 0; m < plan.modes.size(); ++m) {
    const Mode& mode = plan.modes[m];
    if (mode.excluded) continue;
    const auto chosen = instants_of_mode(instants, m, states_of(mode), options.instants);
    for (std::size_t i = 0; i < chosen.size(); ++i) {
      Injection injection;
      injection.number = plan.injections.size();
      injection.mode = m;
      injection.realisation = i % mode.realisations.size();
      injection.instant = chosen[i];
      plan.injections.push_back(injection);
    }
  }
  plan.singles = plan.injections.size();
  return plan;
}

Part first_of(const Plan& plan, const Injection& injection) {
  const Mode& mode = plan.modes[injection.mode];
  return {mode, mode.realisations[injection.realisation], plan.instants[injection.instant]};
}

Part second_of(const Plan& plan, const Injection& injection) {
  const Injection::Second& second = *injection.second;
  const Mode& mode = second.demand ? plan.demands[second.mode] : plan.modes[second.mode];
  return {mode, mode.realisations[second.realisation], plan.instants[second.instant]};
}

std::string inputs_text(const Plan& plan, const scenario::OvenContext& oven,
                        const PlanOptions& options) {
  std::string text = fmt::format("instants {}\nseed {}\n", options.instants, options.seed);
  const machine::Machine& machine = oven.machine;
  for (const machine::Key& key : machine::all_keys()) {
    if (!machine::has_part(key.part, machine.settings.options)) continue;
    const machine::List* list = machine::list_of(key.path);
    const std::size_t items = list != nullptr ? list->size(machine) : 1;
    for (std::size_t i = 0; i < items; ++i) {
      text += fmt::format("{}[{}]: {}\n", key.path, i, machine::value_text(key, machine, i));
    }
  }
  text += modes_text(plan.modes);
  text += modes_text(plan.demands);
  for (const Instant& instant : plan.instants) {
    text += fmt::format("instant {} {}\n", instant.id, instant.scan);
  }
  return text;
}

}  // namespace ovenproof::campaign

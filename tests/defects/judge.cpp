#include "judge.hpp"

#include <algorithm>
#include <stdexcept>

#include <nlohmann/json.hpp>

#include "sim/prove/proof.hpp"

namespace ovenproof::defects {
namespace {

using nlohmann::json;

/// Nothing of what is judged here hangs on how long things take, only that time limits are longer
/// than what they limit.
prove::Durations durations() {
  prove::Durations d;
  d.timers.fill(60'000);
  const auto set = [&d](logic::Timer timer, std::uint32_t ms) {
    d.timers[static_cast<std::size_t>(timer)] = ms;
  };
  set(logic::Timer::gate_hold, 10'000);
  set(logic::Timer::changeover, 1'000);
  set(logic::Timer::purge_timeout, 7'200'000);
  set(logic::Timer::heating_timeout, 36'000'000);
  set(logic::Timer::arm_expiry, 1'800'000);
  return d;
}

std::vector<std::string> idle_of(const prove::Coverage& coverage, const logic::Options& options) {
  std::vector<std::string> idle;
  for (const prove::Part& part : prove::parts(options)) {
    if (part.fitted && !coverage.seen(part)) idle.push_back(part.name);
  }
  return idle;
}

struct Explored {
  std::vector<prove::Interlock> interlocks;
  std::vector<properties::Property> properties;
  prove::Histories histories;
  prove::Exploration exploration;
};

Explored explored(const logic::Options& options) {
  std::vector<prove::Interlock> all = prove::interlocks(options);
  std::erase_if(all, [](const prove::Interlock& each) { return !each.applies; });
  prove::Checked checked = prove::check(all);
  if (!checked.errors.empty()) throw std::invalid_argument(checked.errors.front());
  prove::Histories histories(checked.properties, options);
  prove::Exploration e = prove::explore({options}, histories, {.stop_at_violation = true});
  return {std::move(all), std::move(checked.properties), std::move(histories), std::move(e)};
}

/// What the prover objects to; null if it does not.
json objection(const logic::Options& options, std::vector<std::string>& idle) {
  const Explored e = explored(options);
  const auto& judgements = e.exploration.properties;
  json found;
  for (std::size_t i = 0; i < judgements.size(); ++i) {
    if (!judgements[i].violated) continue;
    const prove::Script script = prove::script_of({options}, e.histories, e.exploration, i);
    if (!found.is_null() && found["depth"] <= script.scans.size()) continue;
    const bool replays = prove::play(options, script, e.properties[i]).violated_in.has_value();
    found = {{"end", replays ? "refuted" : "not replayed"},
             {"by", e.interlocks[i].id},
             {"depth", script.scans.size()}};
  }
  if (!found.is_null()) return found;
  if (!e.exploration.complete) return {{"end", "lost"}, {"why", "memory used up"}};
  for (std::size_t i = 0; i < judgements.size(); ++i) {
    if (!judgements[i].premise_met) return {{"end", "vacuous"}, {"by", e.interlocks[i].id}};
  }
  const prove::Recovery recovery = prove::recover(options, durations(), e.exploration.states);
  if (recovery.stuck) return {{"end", "stuck"}, {"by", recovery.stuck->wanted}};
  idle = idle_of(e.exploration.coverage, options);
  return {};
}

}  // namespace

std::vector<logic::Options> options_in_order() {
  std::vector<logic::Options> all = prove::all_options();
  const auto rank = [](const logic::Options& o) {
    const int lacking = !o.oxygen_monitor + !o.jacket_cooling + !o.start_by_door;
    return lacking + (o.max_repurges == 1 ? 0 : 4);
  };
  std::stable_sort(all.begin(), all.end(),
                   [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
  return all;
}

std::vector<std::string> idle_parts(const logic::Options& options) {
  return idle_of(explored(options).exploration.coverage, options);
}

json judge(const Relation& machine, const std::vector<std::string>& idle) {
  if (!machine.difference()) return {{"end", "equivalent"}};
  std::vector<std::string> idle_now;
  json found = objection(machine.options(), idle_now);
  if (!found.is_null()) return found;
  // It may remember otherwise and never show it, or differ only where no scan comes to.
  const std::optional<std::string> tells = machine.telling_difference();
  if (!tells) return {{"end", "silent"}};
  if (!machine.difference_of_scans()) return {{"end", "equivalent"}};
  std::erase_if(idle_now, [&](const std::string& part) {
    return std::find(idle.begin(), idle.end(), part) != idle.end();
  });
  return {{"end", "survived"}, {"differs", *tells}, {"dead", idle_now}};
}

}  // namespace ovenproof::defects

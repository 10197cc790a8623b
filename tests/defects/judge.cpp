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
  set(logic::Timer::cooling_timeout, 36'000'000);
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

/// `except`: ids of interlocks that are left out.
Explored explored(const logic::Options& options, bool stop_at_violation,
                  const std::vector<std::string>& except = {}) {
  std::vector<prove::Interlock> all = prove::interlocks(options);
  std::erase_if(all, [&except](const prove::Interlock& each) {
    return !each.applies || std::find(except.begin(), except.end(), each.id) != except.end();
  });
  prove::Checked checked = prove::check(all);
  if (!checked.errors.empty()) throw std::invalid_argument(checked.errors.front());
  prove::Histories histories(checked.properties, options);
  prove::Exploration e =
      prove::explore({options}, histories, {.stop_at_violation = stop_at_violation});
  return {std::move(all), std::move(checked.properties), std::move(histories), std::move(e)};
}

/// The interlock with the shortest counterexample; null if none is violated.
json refuted(const logic::Options& options, const Explored& e) {
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
  return found;
}

/// What the prover objects to; null if it does not.
json objection(const logic::Options& options, std::vector<std::string>& idle) {
  const Explored e = explored(options, true);
  json found = refuted(options, e);
  if (!found.is_null()) return found;
  const auto& judgements = e.exploration.properties;
  if (!e.exploration.complete) return {{"end", "lost"}, {"why", "memory used up"}};
  for (std::size_t i = 0; i < judgements.size(); ++i) {
    if (!judgements[i].premise_met()) return {{"end", "vacuous"}, {"by", e.interlocks[i].id}};
  }
  for (const prove::Part& part : prove::parts(options)) {
    const bool must_work =
        part.fitted && part.kind != prove::PartKind::cell && part.idle_because.empty();
    if (must_work && !e.exploration.coverage.seen(part))
      return {{"end", "dead"}, {"by", part.name}};
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
  return idle_of(explored(options, true).exploration.coverage, options);
}

json judge(const Relation& machine, const std::vector<std::string>& idle, bool brief) {
  // The two were compared step by step; the scan that the controller calls may still do otherwise.
  const bool steps_differ = machine.difference().has_value();
  const prove::Histories none({}, machine.options());
  if (!steps_differ && prove::explore({machine.options()}, none, {}).as_explored) {
    return {{"end", "equivalent"}};
  }
  std::vector<std::string> idle_now;
  json found = objection(machine.options(), idle_now);
  if (!found.is_null()) return found;
  if (brief) return {{"end", "unnoticed"}};
  // It may remember otherwise and never show it, or differ only where no scan comes to.
  const std::optional<std::string> tells = machine.telling_difference();
  if (!tells) return {{"end", "silent"}};
  if (!machine.difference_of_scans()) return {{"end", "equivalent"}};
  std::erase_if(idle_now, [&](const std::string& part) {
    return std::find(idle.begin(), idle.end(), part) != idle.end();
  });
  return {{"end", "survived"}, {"differs", *tells}, {"dead", idle_now}};
}

std::vector<std::string> violated(const logic::Options& options) {
  const Explored e = explored(options, false);
  std::vector<std::string> ids;
  for (std::size_t i = 0; i < e.interlocks.size(); ++i) {
    if (e.exploration.properties[i].violated) ids.push_back(e.interlocks[i].id);
  }
  return ids;
}

json judge_beside(const logic::Options& options, const std::vector<std::string>& except) {
  json found = refuted(options, explored(options, true, except));
  return found.is_null() ? json{{"end", "survived"}} : found;
}

}  // namespace ovenproof::defects

#include <algorithm>
#include <map>
#include <optional>

#include "sim/campaign/branch.hpp"
#include "sim/campaign/plan.hpp"

namespace ovenproof::campaign {
namespace {

/// At how many instants a second failure is tried with one that sleeps.
constexpr std::size_t instants_of_second = 3;

/// A failure that stayed unnoticed.
struct Latent {
  Injection injection;
  bool asleep = false;   ///< nothing meets it in the whole nominal run
  Conditions wakes = 0;  ///< what does, if it is asleep
};

/// One for each mode and way of bringing it about: asleep if it ever was, else as early as can be.
std::vector<Latent> latents(const Plan& plan, std::span<const Result> singles) {
  std::map<std::pair<std::size_t, std::size_t>, Latent> found;
  for (const Result& result : singles) {
    if (result.outcome != Outcome::unnoticed) continue;
    const Injection& injection = plan.injections[result.number];
    if (plan.instants[injection.instant].attendant != cycle::Habit::usual) continue;
    const bool asleep = result.decided == Decided::never_met;
    const auto key = std::pair(injection.mode, injection.realisation);
    const auto known = found.find(key);
    if (known != found.end() && (known->second.asleep || !asleep)) continue;
    found[key] = {injection, asleep, woken_by(first_of(plan, injection).realisation)};
  }
  std::vector<Latent> all;
  for (const auto& [key, latent] : found) all.push_back(latent);
  return all;
}

/// Instants of one mode at which its single failure met the oven at scans of their own.
struct Tried {
  std::size_t realisation = 0;
  std::size_t instant = 0;
  Conditions touched = 0;
};

std::vector<Tried> tried_of(std::size_t mode, const Plan& plan, std::span<const Result> singles) {
  std::map<std::uint64_t, Tried> by_scan;
  for (const Result& result : singles) {
    const Injection& injection = plan.injections[result.number];
    if (injection.mode != mode || result.decided == Decided::never_met) continue;
    if (plan.instants[injection.instant].attendant != cycle::Habit::usual) continue;
    by_scan.emplace(result.met_at, Tried{injection.realisation, injection.instant, result.touched});
  }
  std::vector<Tried> all;
  for (const auto& [scan, tried] : by_scan) all.push_back(tried);
  return all;
}

/// First, middle and last of them.
std::vector<Tried> spread(const std::vector<Tried>& all) {
  if (all.size() <= instants_of_second) return all;
  return {all.front(), all[all.size() / 2], all.back()};
}

class PairMaker {
 public:
  PairMaker(Plan& plan, std::span<const Result> singles) : plan_(plan) {
    for (std::size_t i = 0; i < plan.modes.size(); ++i) {
      tried_.push_back(tried_of(i, plan, singles));
    }
    for (std::size_t i = 0; i < plan.instants.size(); ++i) {
      const Instant& each = plan.instants[i];
      if (each.cycle == 1 && each.id.ends_with(".middle")) middles_.push_back(i);
    }
  }

  void add(const Latent& latent) {
    for (std::size_t mode = 0; mode < plan_.modes.size(); ++mode) {
      if (mode == latent.injection.mode) continue;
      std::vector<Tried> waking;
      for (const Tried& each : tried_[mode]) {
        const bool later = latent.asleep || each.instant > latent.injection.instant;
        if (later && (!latent.asleep || (each.touched & latent.wakes) != 0)) {
          waking.push_back(each);
        }
      }
      // What is awake has to be simulated from its own beginning: one instant, soon after.
      if (!latent.asleep && !waking.empty()) waking.resize(1);
      for (const Tried& each : spread(waking)) {
        push(latent, {false, mode, each.realisation, each.instant});
      }
    }
    for (std::size_t demand = 0; demand < plan_.demands.size(); ++demand) {
      for (const std::size_t instant : middles_) {
        if (!latent.asleep && instant <= latent.injection.instant) continue;
        push(latent, {true, demand, 0, instant});
        if (!latent.asleep) break;
      }
    }
  }

 private:
  void push(const Latent& latent, const Injection::Second& second) {
    Injection pair = latent.injection;
    pair.number = plan_.injections.size();
    if (latent.asleep) pair.instant = second.instant;
    pair.second = second;
    plan_.injections.push_back(pair);
  }

  Plan& plan_;
  std::vector<std::vector<Tried>> tried_;
  std::vector<std::size_t> middles_;
};

}  // namespace

void add_pairs(Plan& plan, std::span<const Result> singles) {
  plan.injections.resize(plan.singles);
  PairMaker maker(plan, singles);
  for (const Latent& latent : latents(plan, singles)) maker.add(latent);
}

}  // namespace ovenproof::campaign

#include "sim/prove/explorer.hpp"

#include <algorithm>
#include <atomic>
#include <bit>
#include <deque>
#include <thread>
#include <unordered_map>
#include <utility>

namespace ovenproof::prove {
namespace {

/// States expanded between two additions to the store. What is found does not depend on it.
constexpr std::size_t per_round = 2048;

/// One thread's own things.
struct Worker {
  Worker(const Subject& subject, const Histories& histories, ProspectStore& store)
      : expansion(subject, histories, store), coverage(subject.options) {}

  /// Leaves in `out.next` what was not known before the round, each once.
  void expand(const Key& from, const StateStore& known, Expanded& out) {
    expansion.expand(from.history, coverage, out);
    // Few are new and most of them come again and again.
    std::erase_if(out.next, [&](const Key& key) { return key == from || known.contains(key); });
    keep_first_of_each(out.next);
  }

  Expansion expansion;
  Coverage coverage;

 private:
  void keep_first_of_each(std::vector<Key>& keys) {
    if (keys.empty()) return;
    slots_.assign(std::bit_ceil(2 * keys.size()), 0);
    const std::size_t mask = slots_.size() - 1;
    std::size_t kept = 0;
    for (const Key& key : keys) {
      std::size_t slot = hash_of(key) & mask;
      while (slots_[slot] != 0 && keys[slots_[slot] - 1] != key) slot = (slot + 1) & mask;
      if (slots_[slot] != 0) continue;
      keys[kept++] = key;
      slots_[slot] = kept;
    }
    keys.resize(kept);
  }

  std::vector<std::size_t> slots_;  ///< of indices into the keys kept plus one, open addressing
};

/// The states of a round, by their places in it, those with the same state of the logic together:
/// what the logic does from there is found out once.
std::vector<std::vector<std::size_t>> alike_in_logic(const StateStore& states, std::size_t first,
                                                     std::size_t count) {
  std::vector<std::vector<std::size_t>> groups;
  std::unordered_map<std::uint64_t, std::size_t> group_of;  // only asked, never walked through
  for (std::size_t i = 0; i < count; ++i) {
    const Key& key = states.key(static_cast<StateStore::Index>(first + i));
    const auto [at, is_new] = group_of.try_emplace(key.logic, groups.size());
    if (is_new) groups.emplace_back();
    groups[at->second].push_back(i);
  }
  return groups;
}

}  // namespace

std::vector<std::uint64_t> births(const logic::Options& options) {
  std::vector<std::uint64_t> packed;
  for (const logic::Cause cause : {logic::Cause::power_up, logic::Cause::watchdog_restart}) {
    packed.push_back(pack(logic::Logic(options, cause).state()));
  }
  return packed;
}

namespace {

/// Nothing if first-outs were merged that the logic tells apart.
std::optional<Exploration> explored(const Subject& subject, const Histories& histories,
                                    const Limits& limits) {
  Exploration result;
  result.merged = subject.merges(histories);
  result.properties.resize(histories.property_count());
  StateStore& states = result.states;
  result.coverage = Coverage(subject.options);
  for (const std::uint64_t birth : births(subject.options)) {
    const std::uint64_t state = result.merged ? with_representative(birth) : birth;
    states.add({state, histories.at_birth()}, StateStore::none);
    result.coverage.note_birth(unpack(birth));
  }

  ProspectStore store;
  std::deque<Worker> workers;
  for (unsigned i = 0; i < std::max(1U, limits.jobs); ++i) {
    workers.emplace_back(subject, histories, store);
  }
  ObligationSet premises_met;
  std::vector<Expanded> round(per_round);

  std::size_t next = 0;
  bool go_on = true;
  while (next < states.size() && go_on) {
    const std::size_t count = std::min(per_round, states.size() - next);
    const std::vector<std::vector<std::size_t>> groups = alike_in_logic(states, next, count);
    std::atomic<std::size_t> taken{0};
    const auto work = [&](Worker& worker) {
      for (std::size_t g = taken++; g < groups.size(); g = taken++) {
        const auto any = static_cast<StateStore::Index>(next + groups[g].front());
        worker.expansion.enter(states.key(any).logic);
        for (const std::size_t i : groups[g]) {
          worker.expand(states.key(static_cast<StateStore::Index>(next + i)), states, round[i]);
        }
      }
    };
    {
      std::vector<std::jthread> threads;
      for (std::size_t i = 1; i < workers.size() && groups.size() > i; ++i) {
        threads.emplace_back([&work, &worker = workers[i]] { work(worker); });
      }
      work(workers[0]);
    }
    for (std::size_t i = 0; i < count; ++i) {
      const auto from = static_cast<StateStore::Index>(next + i);
      premises_met |= round[i].verdicts.premises;
      result.as_explored = result.as_explored && round[i].as_explored;
      if (round[i].verdicts.violated.any()) {
        for (std::size_t o = 0; o < histories.size(); ++o) {
          Judgement& judgement = result.properties[histories.obligation(o).property];
          if (round[i].verdicts.violated[o] && !judgement.violated) judgement.violated = from;
        }
      }
      go_on = go_on && states.bytes_with(round[i].next.size()) <= limits.memory_bytes;
      if (!go_on) continue;
      for (const Key& key : round[i].next) states.add(key, from);
    }
    result.peak_bytes = std::max(result.peak_bytes, states.bytes());
    next += count;
    store.forget_some();
    for (const Worker& worker : workers) {
      if (worker.expansion.first_outs_differ()) return std::nullopt;
    }
    // What one has seen the others need not look for.
    for (const Worker& worker : workers) result.coverage.merge(worker.coverage);
    for (Worker& worker : workers) {
      worker.coverage.merge(result.coverage);
      worker.expansion.take_as_met(premises_met);
    }
    const auto violated = [](const Judgement& judgement) { return judgement.violated.has_value(); };
    if (limits.stop_at_violation &&
        std::any_of(result.properties.begin(), result.properties.end(), violated)) {
      go_on = false;
    }
  }

  result.complete = go_on;
  // Numbers go up with the distance, so the last state is one of the farthest.
  for (auto at = static_cast<StateStore::Index>(states.size() - 1);
       states.parent(at) != StateStore::none; at = states.parent(at)) {
    ++result.depth;
  }
  for (const Worker& worker : workers) {
    result.scans += worker.expansion.scans();
    result.steps += worker.expansion.steps();
    result.transitions += worker.expansion.transitions();
  }
  for (std::size_t o = 0; o < histories.size(); ++o) {
    const Obligation& obligation = histories.obligation(o);
    if (premises_met[o]) continue;
    std::vector<std::string>& never = result.properties[obligation.property].never_met;
    if (std::find(never.begin(), never.end(), obligation.premise) == never.end()) {
      never.push_back(obligation.premise);
    }
  }
  return result;
}

}  // namespace

Exploration explore(const Subject& subject, const Histories& histories, const Limits& limits) {
  std::optional<Exploration> result = explored(subject, histories, limits);
  if (!result) {
    Subject apart = subject;
    apart.merge_first_outs = false;
    result = explored(apart, histories, limits);
  }
  return std::move(result).value();
}

}  // namespace ovenproof::prove

#include "sim/campaign/instants.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

namespace ovenproof::campaign {
namespace {

/// Whether what fails is on the way from the chamber's oxygen to the controller.
bool measures_oxygen(const Mode& mode) {
  const auto oxygen = [](const scenario::Action& action) {
    if (const auto* component = std::get_if<scenario::BreakComponent>(&action.act)) {
      return component->fault.fault == plant::Fault::oxygen_cell_heater_failed ||
             component->fault.fault == plant::Fault::oxygen_cell_cracked ||
             component->fault.fault == plant::Fault::oxygen_sample_blocked ||
             component->fault.fault == plant::Fault::oxygen_combustibles;
    }
    const auto* signal = std::get_if<scenario::BreakSignal>(&action.act);
    return signal != nullptr && (signal->fault.point == hal::AnalogIn::oxygen_cell ||
                                 signal->fault.point == hal::AnalogIn::oxygen_cell_tc ||
                                 signal->fault.point == hal::AnalogIn::oxygen_loop);
  };
  return std::ranges::any_of(mode.realisations, [&](const Realisation& how) {
    return std::ranges::any_of(how.actions, oxygen);
  });
}

/// SplitMix64: the same numbers everywhere, which the distributions of the library do not promise.
std::uint64_t next_random(std::uint64_t& state) {
  state += 0x9E3779B97F4A7C15U;
  std::uint64_t z = state;
  z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
  z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
  return z ^ (z >> 31U);
}

class Chooser {
 public:
  explicit Chooser(const Nominal& nominal) : nominal_(nominal) {
    std::map<std::pair<std::uint32_t, logic::Phase>, int> seen;
    for (const Nominal::Stretch& each : nominal.stretches()) {
      const int count = ++seen[{each.cycle, each.phase}];
      names_.push_back(fmt::format("{}.{}{}", each.cycle, logic::name_of(each.phase),
                                   count > 1 ? fmt::format("{}", count) : ""));
    }
  }

  std::size_t add(std::size_t stretch, std::uint64_t scan, const std::string& suffix) {
    const Nominal::Stretch& in = nominal_.stretches()[stretch];
    const auto [place, fresh] = by_scan_.emplace(scan, out_.size());
    if (fresh) {
      out_.push_back(
          {names_[stretch] + suffix, scan, scan * nominal_.oven().period_ms, in.cycle, in.phase});
    }
    return place->second;
  }

  std::vector<Instant> take() { return std::move(out_); }

 private:
  const Nominal& nominal_;
  std::vector<std::string> names_;
  std::vector<Instant> out_;
  std::map<std::uint64_t, std::size_t> by_scan_;
};

}  // namespace

Instants choose_instants(const Nominal& nominal, std::size_t random, std::uint64_t seed) {
  Instants found;
  Chooser chooser(nominal);
  std::uint64_t first = 0;
  std::uint64_t end = 0;
  const std::vector<Nominal::Stretch>& stretches = nominal.stretches();
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    const Nominal::Stretch& each = stretches[i];
    if (each.cycle < 1 || each.cycle > cycles_injected) continue;
    const bool is_first = end == 0;
    if (is_first) first = each.first;
    end = each.end;
    std::vector<std::size_t> entry;
    if (!is_first) entry.push_back(chooser.add(i - 1, each.first - 1, ".end"));
    entry.push_back(chooser.add(i, each.first, ".entry"));
    if (each.end > each.first + 1) entry.push_back(chooser.add(i, each.first + 1, ".entry+1"));
    found.entries.push_back(std::move(entry));
    found.middles.push_back(chooser.add(i, each.first + (each.end - each.first) / 2, ".middle"));
  }
  for (std::size_t i = 0; i < random; ++i) {
    const std::uint64_t scan = first + next_random(seed) % (end - first);
    const auto in = std::find_if(stretches.begin(), stretches.end(),
                                 [&](const Nominal::Stretch& each) { return scan < each.end; });
    const std::size_t index = chooser.add(static_cast<std::size_t>(in - stretches.begin()), scan,
                                          fmt::format(".random{}", i + 1));
    found.random.push_back(index);
  }
  std::map<std::size_t, Instants::Marked> marked;
  for (const Crossing& each : nominal.crossings()) {
    if (each.cycle > cycles_injected) continue;
    const auto in =
        std::find_if(stretches.begin(), stretches.end(),
                     [&](const Nominal::Stretch& stretch) { return each.scan < stretch.end; });
    Instants::Marked& mark = marked[each.mark];
    mark.kind = each.kind;
    mark.half_of_the_modes =
        each.kind == StateKind::position || (each.kind == StateKind::temperature && each.rising);
    mark.in_cycles.push_back(
        chooser.add(static_cast<std::size_t>(in - stretches.begin()), each.scan, '.' + each.name));
  }
  for (auto& [mark, instants] : marked) found.marked.push_back(std::move(instants));
  found.all = chooser.take();
  // By time, and every index with it.
  std::vector<std::size_t> order(found.all.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return found.all[a].scan < found.all[b].scan; });
  std::vector<std::size_t> place(order.size());
  std::vector<Instant> sorted;
  for (std::size_t i = 0; i < order.size(); ++i) {
    place[order[i]] = i;
    sorted.push_back(std::move(found.all[order[i]]));
  }
  found.all = std::move(sorted);
  for (auto& entry : found.entries) {
    for (std::size_t& each : entry) each = place[each];
  }
  for (std::size_t& each : found.middles) each = place[each];
  for (std::size_t& each : found.random) each = place[each];
  for (Instants::Marked& mark : found.marked) {
    for (std::size_t& each : mark.in_cycles) each = place[each];
  }
  return found;
}

bool StatesOfMode::has(StateKind kind) const {
  switch (kind) {
    case StateKind::temperature:
      return temperature;
    case StateKind::oxygen:
      return oxygen;
    case StateKind::position:
      return position;
  }
  return false;
}

StatesOfMode states_of(const Mode& mode) {
  using K = ComponentKind;
  const auto abrupt = [](const Realisation& how) { return how.onset == Onset::abrupt; };
  if (std::ranges::none_of(mode.realisations, abrupt)) return {};
  switch (mode.kind) {
    case K::sensor: {
      const bool oxygen = measures_oxygen(mode);
      return {.temperature = !oxygen, .oxygen = oxygen};
    }
    case K::valve:
      return {.temperature = true, .oxygen = true, .position = true};
    case K::supply:
    case K::enclosure:
      return {.temperature = true, .oxygen = true};
    case K::contact:
    case K::output:
      return {.position = true};
    case K::contactor:
    case K::fan:
    case K::damper:
    case K::blower:
    case K::chain:
    case K::heater:
    case K::controller:
      return {.temperature = true};
    case K::count:
      break;
  }
  return {};
}

std::vector<std::size_t> instants_of_mode(const Instants& instants, std::size_t mode,
                                          StatesOfMode states, std::size_t least) {
  std::vector<std::size_t> chosen;
  const auto add = [&](std::size_t instant) {
    if (std::find(chosen.begin(), chosen.end(), instant) == chosen.end()) chosen.push_back(instant);
  };
  for (std::size_t i = 0; i < instants.entries.size(); ++i) {
    const auto& entry = instants.entries[i];
    add(entry[(mode + i) % entry.size()]);
  }
  for (std::size_t i = mode % 2; i < instants.middles.size(); i += 2) add(instants.middles[i]);
  for (std::size_t i = 0; i < instants.random.size() && chosen.size() < least; ++i) {
    add(instants.random[i]);
  }
  for (std::size_t turn = 1; turn < 3 && chosen.size() < least; ++turn) {
    for (std::size_t i = 0; i < instants.entries.size() && chosen.size() < least; ++i) {
      const auto& entry = instants.entries[i];
      add(entry[(mode + i + turn) % entry.size()]);
    }
  }
  for (std::size_t i = 0; i < instants.middles.size() && chosen.size() < least; ++i) {
    add(instants.middles[i]);
  }
  for (std::size_t i = 0; i < instants.marked.size(); ++i) {
    const Instants::Marked& mark = instants.marked[i];
    if (!states.has(mark.kind)) continue;
    if (mark.half_of_the_modes && (mode + i / 2) % 2 != 0) continue;
    add(mark.in_cycles[(mode / 2 + i / 2) % mark.in_cycles.size()]);
  }
  std::sort(chosen.begin(), chosen.end());
  return chosen;
}

}  // namespace ovenproof::campaign

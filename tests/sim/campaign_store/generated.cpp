#include "generated.hpp"

#include <algorithm>
#include <array>
#include <random>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "sim/campaign/realise.hpp"

namespace ovenproof::test {

namespace fs = std::filesystem;
using namespace campaign;

namespace {

/// The same numbers from the same seed with every standard library.
class Numbers {
 public:
  explicit Numbers(std::uint64_t seed) : engine_(seed) {}
  std::uint64_t below(std::uint64_t end) { return engine_() % end; }
  std::uint64_t bits() { return engine_(); }
  template <class Enum>
  Enum any(Enum count) {
    return static_cast<Enum>(below(static_cast<std::uint64_t>(count)));
  }

 private:
  std::mt19937_64 engine_;
};

Mode mode(Numbers& numbers, std::string id, std::string component) {
  static const std::array<std::vector<std::string>, 3> ways{
      {{"fault: k1 open"}, {"fault: fan_stopped", "supply: 0 kPa"}, {"fault: seal_leaking 10 %"}}};
  Mode mode;
  mode.id = std::move(id);
  mode.component = std::move(component);
  mode.kind = numbers.any(ComponentKind::count);
  mode.what = fmt::format("what; it's \"{}\" %", numbers.below(100));
  mode.source = "ISO 13849-2 D: contactors";
  if (numbers.below(2) == 0) mode.note = "a note\nof two lines";
  for (std::uint64_t i = 0, count = 1 + numbers.below(3); i < count; ++i) {
    mode.realisations.push_back(
        realise(numbers.any(Onset::count), ways[numbers.below(ways.size())]));
  }
  if (numbers.below(4) == 0) {
    mode.excluded = true;
    mode.exclusion_reason = "mechanically linked contacts";
  }
  mode.from_file = numbers.below(3) == 0;
  if (numbers.below(3) == 0) mode.accepted_reason = "a guard stands there";
  for (std::uint64_t i = 0, count = numbers.below(3); i < count; ++i) {
    mode.right_first_outs.push_back(numbers.any(logic::Cause::count));
  }
  return mode;
}

Result result(Numbers& numbers, std::uint64_t number) {
  Result result;
  result.number = number;
  result.outcome = numbers.any(Outcome::count);
  for (std::uint8_t hazard = 0; hazard < 12; ++hazard) {
    if (numbers.below(6) != 0) continue;
    result.hazards.push_back({hazard, numbers.below(1'000'000), numbers.below(1'000'000),
                              static_cast<double>(numbers.below(1'000'000)) / 7.0,
                              numbers.below(2) == 0 ? "K" : "ppm"});
  }
  if (numbers.below(2) == 0) {
    const bool trip = numbers.below(2) == 0;
    result.detection = Detection{trip, trip ? numbers.any(logic::Cause::count) : logic::Cause::none,
                                 numbers.below(2) == 0, numbers.below(10'000'000)};
  }
  result.decided = numbers.any(Decided::count);
  result.decided_after_ms = numbers.below(100'000'000);
  result.met_at = numbers.below(10'000'000);
  result.scans = numbers.below(10'000'000);
  result.touched = numbers.bits();
  return result;
}

}  // namespace

Generated generate(std::uint64_t seed, std::size_t modes, std::size_t instants, std::size_t pairs) {
  Numbers numbers(seed);
  Generated all;
  all.inputs.machine = "oven";
  all.inputs.machine_text = "name: Oven\n# of nobody\n";
  all.inputs.machine_sha256 = std::string(64, 'a');
  all.inputs.inputs_sha256 = std::string(64, 'b');
  all.inputs.build = std::string(64, 'c');
  all.inputs.options = {static_cast<std::uint32_t>(instants), numbers.bits()};
  all.inputs.pairs = true;
  Plan& plan = all.plan;
  for (std::size_t i = 0; i < modes; ++i) {
    plan.modes.push_back(
        mode(numbers, fmt::format("K{}.m{}", i / 3, i), fmt::format("K{}", i / 3)));
  }
  for (std::size_t i = 0; i < 3; ++i) {
    plan.demands.push_back(mode(numbers, fmt::format("demand.d{}", i), "demand"));
  }
  for (std::size_t i = 0; i < instants; ++i) {
    plan.instants.push_back({fmt::format("{}.soak+{}", i % 2 + 1, i), numbers.below(1'000'000),
                             numbers.below(10'000'000), static_cast<std::uint32_t>(i % 3),
                             numbers.any(logic::Phase::count)});
  }
  const auto add = [&](std::size_t mode, std::size_t instant) -> Injection& {
    Injection injection;
    injection.number = plan.injections.size();
    injection.mode = mode;
    injection.realisation = numbers.below(plan.modes[mode].realisations.size());
    injection.instant = instant;
    return plan.injections.emplace_back(injection);
  };
  for (std::size_t mode = 0; mode < modes; ++mode) {
    for (std::size_t instant = 0; instant < instants; ++instant) add(mode, instant);
  }
  plan.singles = plan.injections.size();
  all.singles = plan;
  for (std::size_t i = 0; i < pairs; ++i) {
    Injection& pair = add(numbers.below(modes), numbers.below(instants));
    Injection::Second& second = pair.second.emplace();
    second.demand = numbers.below(3) == 0;
    const std::vector<Mode>& from = second.demand ? plan.demands : plan.modes;
    second.mode = numbers.below(from.size());
    second.realisation = numbers.below(from[second.mode].realisations.size());
    second.instant = numbers.below(instants);
  }
  for (std::uint64_t i = 0; i < plan.injections.size(); ++i) {
    all.results.push_back(result(numbers, i));
  }
  return all;
}

std::vector<std::uint64_t> shuffled(const Generated& all, campaign_store::Shard shard,
                                    std::uint64_t seed) {
  std::vector<std::uint64_t> order;
  for (std::uint64_t i = 0; i < all.results.size(); ++i) {
    if (shard.holds(i)) order.push_back(i);
  }
  Numbers numbers(seed);
  for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[numbers.below(i)]);
  return order;
}

void write_whole(const fs::path& path, const Generated& all, campaign_store::Shard shard,
                 std::uint64_t seed) {
  campaign_store::Inputs inputs = all.inputs;
  inputs.shard = shard;
  campaign_store::WorkingFile file(path, inputs, all.singles, false);
  file.add_pairs(all.plan);
  for (const std::uint64_t number : shuffled(all, shard, seed)) file.add(all.results[number]);
  file.finish();
}

}  // namespace ovenproof::test

#include "fixture.hpp"

#include <algorithm>
#include <stdexcept>

#include "sim/machine/load.hpp"
#include "sim/scenario/oven_bank.hpp"

namespace ovenproof::test {

machine::Machine quick_machine(float target_degC) {
  auto machine = std::get<machine::Machine>(
      machine::load_file(SOURCE_DIR "/scenarios/machines/bronze_strip_160.yaml"));
  settings::Programme& programme = machine.settings.programme;
  programme.segment_count = 1;
  programme.segments[0].target = Celsius(target_degC);
  programme.segments[0].ramp_K_per_min = 10.0F;
  programme.segments[0].soak = Milliseconds(300'000);
  machine.sign_off.digest = sign_off_digest(machine);
  return machine;
}

const campaign::Campaign& quick_campaign() {
  static const campaign::Campaign campaign(scenario::make_oven(quick_machine()), {});
  return campaign;
}

std::uint64_t injection_of(const campaign::Campaign& campaign, std::string_view mode,
                           std::string_view instant) {
  const campaign::Plan& plan = campaign.plan();
  for (const campaign::Injection& each : plan.injections) {
    if (plan.modes[each.mode].id == mode && plan.instants[each.instant].id.starts_with(instant)) {
      return each.number;
    }
  }
  throw std::out_of_range("no injection of " + std::string(mode) + " at " + std::string(instant));
}

std::vector<std::uint64_t> sample(const campaign::Campaign& campaign, std::size_t every,
                                  std::size_t from) {
  std::vector<std::uint64_t> numbers;
  for (std::size_t i = from; i < campaign.plan().injections.size(); i += every)
    numbers.push_back(i);
  return numbers;
}

std::vector<campaign::Result> results_of(const campaign::Campaign& campaign,
                                         const std::vector<std::uint64_t>& numbers, unsigned jobs) {
  std::vector<campaign::Result> results;
  campaign.run(numbers, jobs, [&](const campaign::Result& result) {
    results.push_back(result);
    return true;
  });
  std::sort(results.begin(), results.end(),
            [](const auto& a, const auto& b) { return a.number < b.number; });
  return results;
}

}  // namespace ovenproof::test

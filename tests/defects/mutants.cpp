#include <charconv>
#include <cstdio>
#include <exception>
#include <iostream>
#include <map>
#include <string>
#include <string_view>

#include <nlohmann/json.hpp>

#include "judge.hpp"
#include "process.hpp"
#include "recording.hpp"

/// Proves the logic of one machine with one defect after the other.
///
///   mutants MACHINE     its number in options_in_order()
///
/// Says in a line what it is. Then, for each line on standard input, {"defect": 5, "limit_s": 600},
/// it forks a process in which that defect is awake and writes a line with what judge() says, or
/// that the process crashed, was overdue or was lost. With "beside": 7 defect 7 is awake as well,
/// and judge_beside() says it. With "brief": true what nobody objects to is looked at no closer.
namespace {

using nlohmann::json;
using namespace ovenproof;

void serve(const logic::Options& options) {
  const defects::Relation machine(options);
  const std::vector<std::string> idle = defects::idle_parts(options);
  std::cout << json{{"oxygen_monitor", options.oxygen_monitor},
                    {"jacket_cooling", options.jacket_cooling},
                    {"start_by_door", options.start_by_door},
                    {"max_repurges", options.max_repurges},
                    {"states", machine.states()},
                    {"points", machine.points()},
                    {"steps", machine.steps()}}
                   .dump()
            << std::endl;
  std::map<int, json> violated;  // by those defects that others are tried beside
  for (std::string line; std::getline(std::cin, line);) {
    const json order = json::parse(line);
    const int defect = order.at("defect");
    const int limit_s = order.at("limit_s");
    if (!order.contains("beside")) {
      const json result = defects::in_a_process_of_its_own(defect, limit_s, [&] {
        defects::select(defect);
        return defects::judge(machine, idle, order.value("brief", false));
      });
      std::cout << result.dump() << std::endl;
      continue;
    }
    const int beside = order["beside"];
    if (!violated.contains(beside)) {
      violated[beside] = defects::in_a_process_of_its_own(beside, limit_s, [&] {
        defects::select(beside);
        return json{{"ids", defects::violated(options)}};
      });
    }
    const json result = defects::in_a_process_of_its_own(defect, limit_s, [&] {
      defects::select(beside);
      defects::break_also(defect);
      return defects::judge_beside(options, violated[beside].at("ids"));
    });
    std::cout << result.dump() << std::endl;
  }
}

}  // namespace

int main(int count, char** arguments) {
  try {
    const std::vector<logic::Options> machines = defects::options_in_order();
    const std::string_view text = count == 2 ? arguments[1] : "";
    std::size_t machine = machines.size();
    const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), machine);
    if (failure != std::errc{} || end != text.data() + text.size() || machine >= machines.size()) {
      std::fprintf(stderr, "usage: mutants MACHINE (0 to %zu)\n", machines.size() - 1);
      return 2;
    }
    serve(machines[machine]);
    return 0;
  } catch (const std::exception& failure) {
    std::fprintf(stderr, "mutants: %s\n", failure.what());
    return 3;
  }
}

#include "sim/app/sign_off_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "sim/app/warning_report.hpp"

namespace ovenproof::app {

std::string remarks_text(const std::vector<machine::ModeRemark>& remarks) {
  std::string out;
  for (const machine::SharedReason& each : machine::by_reason(remarks)) {
    out += paragraph(fmt::format("{}", fmt::join(each.modes, ", ")), 4, 6);
    out += paragraph("because " + each.reason, 8, 8);
  }
  return out;
}

std::string signer(const machine::Machine& machine) {
  return fmt::format("{}, {}", machine.sign_off.by, machine.sign_off.date);
}

std::string unsigned_text(const machine::Machine& machine, const Style& style) {
  const auto fault = sign_off_fault(machine);
  if (!fault) return "";
  std::string text;
  for (const std::string& line :
       wrapped(fmt::format(
                   "NOT SIGNED OFF for this machine, so nothing of this counts: {} accepted, {} "
                   "excluded, {} stated",
                   counted(machine.campaign.accepted.size(), "failure mode"),
                   machine.campaign.excluded.size(),
                   counted(machine.safety.functions.size(), "safety function")),
               terminal_columns - 2)) {
    text += "  " + style.error(line) + '\n';
  }
  return text + problem_text(*fault);
}

nlohmann::ordered_json sign_off_json(const machine::Machine& machine) {
  if (!needs_sign_off(machine)) return nullptr;
  return {{"by", machine.sign_off.by},
          {"date", machine.sign_off.date},
          {"machine", machine.sign_off.machine},
          {"digest", machine.sign_off.digest},
          {"counts", !sign_off_fault(machine)}};
}

}  // namespace ovenproof::app

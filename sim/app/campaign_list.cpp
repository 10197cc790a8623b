#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/app/campaign_report.hpp"
#include "sim/app/sign_off_report.hpp"
#include "sim/app/terminal.hpp"

namespace ovenproof::app {

std::string campaign_list(const machine::Machine& machine, const campaign::Plan& plan) {
  std::string text =
      fmt::format("{}\n  {}, {}, {}\n", machine.name, counted(plan.modes.size(), "failure mode"),
                  counted(plan.instants.size(), "instant"), counted(plan.singles, "injection"));
  text += unsigned_text(machine, Style(stdout));
  std::string component;
  for (const campaign::Mode& mode : plan.modes) {
    if (mode.component != component) {
      component = mode.component;
      text += '\n' + component + '\n';
    }
    text += paragraph(fmt::format("{}: {}", mode.id, mode.what), 2, 6);
    std::string about = mode.source;
    for (const campaign::Realisation& how : mode.realisations) {
      about += fmt::format("; {}", name(how.onset));
    }
    text += paragraph(about, 6, 6);
    if (!mode.right_first_outs.empty()) {
      std::string right;
      for (const logic::Cause cause : mode.right_first_outs) {
        right += fmt::format("{}{}", right.empty() ? "" : ", ", logic::row_of(cause).key);
      }
      text += paragraph("right first-out: " + right, 6, 8);
    }
    if (mode.excluded) text += paragraph("excluded: " + mode.exclusion_reason, 6, 8);
    if (!mode.accepted_reason.empty()) {
      text += paragraph("accepted if hazardous: " + mode.accepted_reason, 6, 8);
    }
  }
  return text + "\n" +
         paragraph(
             "The entries of the lists are from memory: ISO 13849-2:2012, tables of annexes A, B "
             "and D: "
             "check against the standard. What is not in this list is not tried: it is a beginning "
             "of a failure "
             "analysis by competent people, not its end.");
}

}  // namespace ovenproof::app

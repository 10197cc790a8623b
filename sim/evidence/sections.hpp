#pragma once
#include <nlohmann/json_fwd.hpp>

#include "sim/evidence/findings.hpp"

/// The sections of the document, each from the findings that it needs.
namespace ovenproof::evidence {

using Json = nlohmann::ordered_json;

/// What the oven is, its I/O list and its settings with ranges.
Json machine_section(const machine::Machine& machine);
/// Key figures, hazards, timeline and trends of the cycles.
Json cycle_section(const machine::Machine& machine, const CycleFinding& finding);
/// The cause-and-effect matrix of the firmware, and what was seen of it.
Json matrix_section(const Findings& findings);
/// The state machine of the firmware, and what was seen of it.
Json chart_section(const Findings& findings);
/// What must never happen, what can bring it about, what stands against it, and what was seen.
Json hazards_section(const Findings& findings);
/// The rules that the controller must keep, with the proofs and cases that carry them.
Json requirements_section(const Findings& findings);
/// Every case, in groups of what they show.
Json scenarios_section(const Findings& findings);
/// Failure modes with what each came to, and every injection.
Json campaign_section(const CampaignFinding& finding);
/// Single failures that ended hazardous, and which the machine file accepts or does not: modes of
/// the plan.
std::vector<std::size_t> hazardous_modes(const CampaignFinding& finding, bool accepted);
/// Figures by formula beside the simulated ones, curves, lowest oxygen by flow and ingress.
Json sizing_section(const sizing::Sizing& sizing);
/// Claims, what was explored, assumptions, counterexamples scan by scan.
Json proof_section(const ProofFinding& finding);
/// Loop checks and witnessed trips, each with isolation first and restoration last.
Json commissioning_section(const machine::Machine& machine);
/// The trips as alarms, in the words of ISA-18.2.
Json alarms_section(const machine::Machine& machine);
/// Verdict and words for the first screen. `document`: all other sections.
Json summary_section(const Findings& findings, const Json& document, const std::string& caution);

}  // namespace ovenproof::evidence

#pragma once
#include <span>
#include <string>
#include <vector>

#include "sim/app/terminal.hpp"
#include "sim/campaign/plan.hpp"
#include "sim/campaign/summary.hpp"
#include "sim/machine/machine.hpp"

namespace ovenproof::app {

/// All results of a campaign, and what they are results of.
struct CampaignView {
  const machine::Machine& machine;
  const campaign::Plan& plan;
  std::span<const campaign::Result> results;  ///< by number
};

/// The failure modes with their sources, classes and exclusions.
std::string campaign_list(const machine::Machine& machine, const campaign::Plan& plan);

/// Text of at most 80 columns. Neither this nor the JSON tells how long it took.
std::string campaign_report(const CampaignView& view, const Style& style);

/// One JSON object with a newline at the end.
std::string campaign_json(const CampaignView& view);

/// Whether every single mode that ended hazardous is on the machine file's list of accepted ones.
bool campaign_accepted(const CampaignView& view);

}  // namespace ovenproof::app

#pragma once
#include <ostream>

#include "sim/app/campaign_report.hpp"

namespace ovenproof::app {

/// Every result as comma-separated values (RFC 4180), a header first: for spreadsheets, so that a
/// text that one of them would take for a formula begins with an apostrophe.
void campaign_csv(const CampaignView& view, std::ostream& out);

}  // namespace ovenproof::app

#pragma once
#include <functional>
#include <string>
#include <vector>

#include "sim/app/exit_status.hpp"
#include "sim/campaign/campaign.hpp"
#include "sim/campaign_store/working_file.hpp"

namespace ovenproof::app {

using WantedMode = std::function<bool(const campaign::Mode&)>;

/// Runs a campaign's injections of the wanted modes, with progress on standard error: the single
/// failures, then, if `pairs`, what they ask for. By number. Pairs need the results of every mode.
std::vector<campaign::Result> run_campaign(campaign::Campaign& campaign, const WantedMode& wanted,
                                           bool pairs, unsigned jobs);

/// The same for one shard into a file that is begun or gone on with; results that it holds already
/// are not run again. Completes the file. Throws campaign_store::StoreError.
void run_campaign_into(campaign_store::WorkingFile& file, campaign::Campaign& campaign, bool pairs,
                       campaign_store::Shard shard, unsigned jobs);

/// What a campaign of this machine file was made from. Throws std::runtime_error if the file cannot
/// be read.
campaign_store::Inputs inputs_of(const campaign::Campaign& campaign,
                                 const std::string& machine_file, bool pairs,
                                 campaign_store::Shard shard);

/// Tells the error on standard error; the status to end with.
ExitStatus report_store_error(const campaign_store::StoreError& error);

}  // namespace ovenproof::app

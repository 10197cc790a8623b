#pragma once
#include <string>

#include "sim/app/command.hpp"
#include "sim/campaign_store/stored.hpp"

namespace ovenproof::app {

/// `campaign report FILE` and `campaign merge OUT PART...`, below the command `campaign`.
void add_campaign_file_commands(CLI::App& campaign, Chosen& chosen_command);

/// Prints what a file holds: the table, or where it is but a shard, what to do with it. The status
/// that the campaign ends with.
ExitStatus report_stored(const campaign_store::Stored& stored, const std::string& path, bool json);

}  // namespace ovenproof::app

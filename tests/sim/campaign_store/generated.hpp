#pragma once
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "folder.hpp"
#include "sim/campaign_store/working_file.hpp"

namespace ovenproof::test {

/// A plan with results as a campaign might give them, from a seed: every member of every structure
/// takes different values.
struct Generated {
  campaign_store::Inputs inputs;
  campaign::Plan singles;                 ///< the plan before pairs are added
  campaign::Plan plan;                    ///< with them
  std::vector<campaign::Result> results;  ///< of all, by number
};
Generated generate(std::uint64_t seed, std::size_t modes = 12, std::size_t instants = 7,
                   std::size_t pairs = 60);

/// Numbers of the shard in an order that the seed decides.
std::vector<std::uint64_t> shuffled(const Generated& all, campaign_store::Shard shard,
                                    std::uint64_t seed);

/// Writes a whole campaign or shard in the order of the seed.
void write_whole(const std::filesystem::path& path, const Generated& all,
                 campaign_store::Shard shard = {}, std::uint64_t seed = 1);

/// What the error says, all lines; empty if nothing is thrown.
template <class Work>
std::string error_of(Work&& work) {
  try {
    work();
  } catch (const campaign_store::StoreError& error) {
    std::string text;
    for (const std::string& line : error.lines()) text += line + '\n';
    return text;
  }
  return "";
}

}  // namespace ovenproof::test

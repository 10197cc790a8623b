#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "sim/campaign/plan.hpp"

/// Campaigns kept in a file: what they were made from, what was injected, what each injection came
/// to. The file is an SQLite database, described in docs/campaign-store.md.
namespace ovenproof::campaign_store {

/// Part `index` of `count` of a campaign: every count-th injection.
struct Shard {
  std::uint32_t index = 1;  ///< from 1
  std::uint32_t count = 1;
  [[nodiscard]] bool holds(std::uint64_t number) const { return number % count == index - 1; }
  friend bool operator==(const Shard&, const Shard&) = default;
};

/// Most parts of one campaign.
inline constexpr std::uint32_t most_shards = 10'000;

/// What a campaign was made from. Two of equal inputs have equal plans and equal results.
struct Inputs {
  std::string machine;         ///< stem of the machine file's name
  std::string machine_text;    ///< the machine file
  std::string machine_sha256;  ///< of the text
  std::string inputs_sha256;   ///< of `campaign::inputs_text`
  std::string build;           ///< which program it was
  campaign::PlanOptions options;
  bool pairs = false;  ///< two failures at once, too
  Shard shard;
};

/// In what two inputs differ, a line each: "machine file: SHA-256 12ab..., here 34cd...". Shards
/// are not compared.
std::vector<std::string> differences(const Inputs& stored, const Inputs& here);

}  // namespace ovenproof::campaign_store

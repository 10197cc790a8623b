#pragma once
#include <cstdint>
#include <filesystem>
#include <vector>

#include "sim/campaign/plan.hpp"
#include "sim/campaign/result.hpp"
#include "sim/campaign_store/inputs.hpp"
#include "sim/campaign_store/store_error.hpp"

namespace ovenproof::campaign_store {

/// A campaign as its file holds it.
struct Stored {
  Inputs inputs;
  campaign::Plan plan;
  std::vector<campaign::Result> results;  ///< by number
  bool complete = false;                  ///< every injection of the shard has its result
};

/// Reads a file, complete or not, and checks everything in it. Throws StoreError.
Stored read(const std::filesystem::path& path);

/// Joins the shards of one campaign into what one run would have written, byte for byte. Throws
/// StoreError with all that is wrong: a part that cannot be read, is not complete, has other inputs
/// or another build than the first, comes twice or is missing; `out` that is there already.
Stored merge(const std::filesystem::path& out, const std::vector<std::filesystem::path>& parts);

}  // namespace ovenproof::campaign_store

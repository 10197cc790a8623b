#include "sim/campaign_store/stored.hpp"

#include <fmt/format.h>

#include "sim/campaign_store/rows.hpp"

namespace ovenproof::campaign_store {

namespace {

/// A complete file has each result of its shard, and no other.
std::string gap(const Stored& stored) {
  std::uint64_t number = 0;
  std::size_t next = 0;
  for (; number < stored.plan.injections.size(); ++number) {
    const bool there = next < stored.results.size() && stored.results[next].number == number;
    if (there != stored.inputs.shard.holds(number)) {
      return fmt::format("said to be complete, but the result of injection {} is {}", number,
                         there ? "another shard's" : "missing");
    }
    if (there) ++next;
  }
  return "";
}

}  // namespace

Stored read(const std::filesystem::path& path) {
  SQLite::Database database = open_checked(path, false);
  const InputsRow row = read_inputs(database, path);
  Stored stored;
  stored.inputs = row.inputs;
  stored.complete = row.complete;
  stored.plan = read_plan(database, path, row.singles);
  stored.results = read_results(database, path);
  if (const std::string wrong = stored.complete ? gap(stored) : ""; !wrong.empty()) {
    throw StoreError(StoreError::Kind::unusable, {fmt::format("{}: {}", path.string(), wrong)});
  }
  return stored;
}

}  // namespace ovenproof::campaign_store

#include <fmt/format.h>

#include "sim/campaign_store/rows.hpp"

namespace ovenproof::campaign_store {

void write_inputs(SQLite::Database& database, const Inputs& inputs, const campaign::Plan& plan) {
  SQLite::Statement insert(database,
                           "INSERT INTO campaign VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 0)");
  insert.bind(1, inputs.machine);
  insert.bind(2, inputs.machine_text);
  insert.bind(3, inputs.machine_sha256);
  insert.bind(4, inputs.inputs_sha256);
  insert.bind(5, inputs.build);
  insert.bind(6, inputs.options.instants);
  insert.bind(7, static_cast<std::int64_t>(inputs.options.seed));
  insert.bind(8, inputs.pairs ? 1 : 0);
  insert.bind(9, inputs.shard.index);
  insert.bind(10, inputs.shard.count);
  insert.bind(11, static_cast<std::int64_t>(plan.singles));
  insert.exec();
}

InputsRow read_inputs(SQLite::Database& database, const std::filesystem::path& path) {
  return guarded(path, [&] {
    SQLite::Statement query(database, "SELECT * FROM campaign");
    if (!query.executeStep()) {
      throw StoreError(StoreError::Kind::unusable,
                       {fmt::format("{}: table campaign: no row", path.string())});
    }
    Row row(query, path, "campaign");
    InputsRow read;
    row.integer(1, 1);
    read.inputs.machine = row.text();
    read.inputs.machine_text = row.text();
    read.inputs.machine_sha256 = row.text();
    read.inputs.inputs_sha256 = row.text();
    read.inputs.build = row.text();
    read.inputs.options.instants = static_cast<std::uint32_t>(row.integer(1, UINT32_MAX));
    read.inputs.options.seed = row.bits();
    read.inputs.pairs = row.flag();
    read.inputs.shard.index = static_cast<std::uint32_t>(row.integer(1, most_shards));
    read.inputs.shard.count =
        static_cast<std::uint32_t>(row.integer(read.inputs.shard.index, most_shards));
    read.singles = static_cast<std::uint64_t>(row.integer(0, 1'000'000'000));
    read.complete = row.flag();
    return read;
  });
}

}  // namespace ovenproof::campaign_store

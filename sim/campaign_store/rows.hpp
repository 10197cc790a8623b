#pragma once
#include <cstdint>
#include <filesystem>
#include <vector>

#include "sim/campaign_store/database.hpp"
#include "sim/campaign_store/inputs.hpp"

/// The tables' rows, to and from plain data. Not for users of the store.
namespace ovenproof::campaign_store {

/// As SQLite holds it: signed, with all 64 bits.
constexpr std::int64_t as_row(std::uint64_t number) { return static_cast<std::int64_t>(number); }

/// The cause with that key of the matrix; the row is refused if there is none.
logic::Cause cause_named(const Row& row, const std::string& key);

/// Within the caller's transaction, into tables that hold none of it yet.
void write_inputs(SQLite::Database& database, const Inputs& inputs, const campaign::Plan& plan);
void write_modes(SQLite::Database& database, const campaign::Plan& plan);
void write_instants(SQLite::Database& database, const campaign::Plan& plan);

/// Those from `first` on; what was there of them is replaced.
void write_injections(SQLite::Database& database, const campaign::Plan& plan, std::size_t first);

/// Writes results one by one; the statements are prepared once.
class ResultWriter {
 public:
  explicit ResultWriter(SQLite::Database& database);
  void write(const campaign::Result& result);

 private:
  SQLite::Statement result_;
  SQLite::Statement hit_;
};

/// The inputs, and whether the campaign is complete.
struct InputsRow {
  Inputs inputs;
  std::uint64_t singles = 0;
  bool complete = false;
};
InputsRow read_inputs(SQLite::Database& database, const std::filesystem::path& path);

/// The plan, all indices within bounds. What realisations do is read again from their words.
campaign::Plan read_plan(SQLite::Database& database, const std::filesystem::path& path,
                         std::uint64_t singles);

/// All results, by number.
std::vector<campaign::Result> read_results(SQLite::Database& database,
                                           const std::filesystem::path& path);

}  // namespace ovenproof::campaign_store

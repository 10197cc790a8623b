#pragma once
#include <SQLiteCpp/SQLiteCpp.h>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <optional>
#include <string>

#include "sim/campaign_store/store_error.hpp"

/// What all files of the store need of SQLite. Not for users of the store.
namespace ovenproof::campaign_store {

/// Opens a database that is there. Refuses, as unusable: a file that is no database, that is
/// damaged, that belongs to another program or version, or that another process works on.
/// `writing`: for one process alone; a transaction that was under way is rolled back.
SQLite::Database open_checked(const std::filesystem::path& path, bool writing);

/// Opens a database that is there, or begins one, for one process alone. It may be empty.
SQLite::Database open_working(const std::filesystem::path& path);

/// Refuses a database whose tables are not a campaign's, or that is damaged.
void check(SQLite::Database& database, const std::filesystem::path& path);

/// What SQLite said, as this store's error about the file: names the path and what to do.
StoreError translated(const SQLite::Exception& error, const std::filesystem::path& path);

/// Runs `work`; what SQLite throws comes out translated.
template <class Work>
auto guarded(const std::filesystem::path& path, Work&& work) {
  try {
    return work();
  } catch (const SQLite::Exception& error) {
    throw translated(error, path);
  }
}

/// Reads one row's columns in their order, and refuses what no writer of this store writes.
class Row {
 public:
  Row(SQLite::Statement& query, const std::filesystem::path& path, const char* table)
      : query_(query), path_(path), table_(table) {}

  std::int64_t integer(std::int64_t least = 0,
                       std::int64_t most = std::numeric_limits<std::int64_t>::max());
  std::optional<std::int64_t> maybe_integer(
      std::int64_t least = 0, std::int64_t most = std::numeric_limits<std::int64_t>::max());
  bool flag() { return integer(0, 1) != 0; }
  /// All 64 bits, as SQLite's signed numbers hold them.
  std::uint64_t bits();
  double real();
  std::string text();
  std::optional<std::string> maybe_text();

  /// Index of the text among names; refused if it is none of them.
  template <class Names>
  std::size_t one_of(const Names& names) {
    const std::string found = text();
    for (std::size_t i = 0; i < names.size(); ++i) {
      if (names[i] == found) return i;
    }
    refuse("a value that this program does not know: " + found);
  }

  [[noreturn]] void refuse(const std::string& what) const;

 private:
  SQLite::Statement& query_;
  const std::filesystem::path& path_;
  const char* table_;
  int next_ = 0;
};

}  // namespace ovenproof::campaign_store

#include "sim/campaign_store/database.hpp"

#include <cmath>
#include <sqlite3.h>

#include <fmt/format.h>

#include "sim/campaign_store/schema.hpp"

namespace ovenproof::campaign_store {

namespace {

using Kind = StoreError::Kind;

/// What is in the file may be hostile: nothing of it may run, and no page is taken on trust.
void protect(SQLite::Database& database) {
  sqlite3_db_config(database.getHandle(), SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(database.getHandle(), SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  database.exec("PRAGMA cell_size_check = ON");
}

/// A rollback journal, for it works on the network file systems that batch schedulers share; each
/// commit is on the disk before it counts; and no second process may write.
void set_up_writing(SQLite::Database& database) {
  database.exec("PRAGMA locking_mode = EXCLUSIVE");
  database.execAndGet("PRAGMA journal_mode = DELETE");
  database.exec("PRAGMA synchronous = FULL");
  database.exec("BEGIN EXCLUSIVE");
  database.exec("COMMIT");
}

}  // namespace

StoreError translated(const SQLite::Exception& error, const std::filesystem::path& path) {
  const auto told = [&](Kind kind, std::string_view what) {
    return StoreError(kind, {fmt::format("{}: {}", path.string(), what)});
  };
  switch (error.getErrorCode()) {
    case SQLITE_NOTADB:
      return told(Kind::unusable, "not a database");
    case SQLITE_CORRUPT:
      return told(Kind::unusable, "a damaged database");
    case SQLITE_CANTOPEN:
      return told(Kind::unusable,
                  "cannot be opened: no such file or folder, or no right to read or write there");
    case SQLITE_READONLY:
      if (error.getExtendedErrorCode() == SQLITE_READONLY_ROLLBACK) {
        return told(Kind::unusable,
                    "a run was interrupted while it wrote; --resume puts it right and goes on");
      }
      return told(Kind::unusable, "may not be written: the file or its folder is read-only");
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return told(Kind::unusable, "another process is working on it");
    case SQLITE_FULL:
      return told(Kind::failed, "the disk is full; nothing that was written is lost");
    case SQLITE_IOERR:
      return told(Kind::failed,
                  fmt::format("cannot be read or written ({}); nothing that was written is lost",
                              error.what()));
    default:
      return told(Kind::failed, fmt::format("SQLite: {}", error.what()));
  }
}

SQLite::Database open_checked(const std::filesystem::path& path, bool writing) {
  return guarded(path, [&] {
    SQLite::Database database(path.string(),
                              writing ? SQLite::OPEN_READWRITE : SQLite::OPEN_READONLY);
    protect(database);
    if (writing) set_up_writing(database);
    check(database, path);
    return database;
  });
}

SQLite::Database open_working(const std::filesystem::path& path) {
  return guarded(path, [&] {
    SQLite::Database database(path.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    protect(database);
    set_up_writing(database);
    return database;
  });
}

void check(SQLite::Database& database, const std::filesystem::path& path) {
  guarded(path, [&] {
    std::vector<std::string> mistakes = schema_mistakes(database);
    if (mistakes.empty()) {
      const std::string health = database.execAndGet("PRAGMA quick_check(1)").getString();
      if (health != "ok") mistakes.push_back(fmt::format("a damaged database: {}", health));
    }
    for (std::string& each : mistakes) each = fmt::format("{}: {}", path.string(), each);
    if (!mistakes.empty()) throw StoreError(Kind::unusable, mistakes);
  });
}

std::int64_t Row::integer(std::int64_t least, std::int64_t most) {
  const SQLite::Column column = query_.getColumn(next_++);
  if (!column.isInteger() || column.getInt64() < least || column.getInt64() > most) {
    refuse(fmt::format("{} out of range", column.getName()));
  }
  return column.getInt64();
}

std::optional<std::int64_t> Row::maybe_integer(std::int64_t least, std::int64_t most) {
  if (query_.getColumn(next_).isNull()) {
    ++next_;
    return std::nullopt;
  }
  return integer(least, most);
}

std::uint64_t Row::bits() {
  const SQLite::Column column = query_.getColumn(next_++);
  if (!column.isInteger()) refuse(fmt::format("{} is no number", column.getName()));
  return static_cast<std::uint64_t>(column.getInt64());
}

double Row::real() {
  const SQLite::Column column = query_.getColumn(next_++);
  if (!column.isFloat() || !std::isfinite(column.getDouble())) {
    refuse(fmt::format("{} is no finite number", column.getName()));
  }
  return column.getDouble();
}

std::string Row::text() {
  const SQLite::Column column = query_.getColumn(next_++);
  if (!column.isText()) refuse(fmt::format("{} is no text", column.getName()));
  return column.getString();
}

std::optional<std::string> Row::maybe_text() {
  if (query_.getColumn(next_).isNull()) {
    ++next_;
    return std::nullopt;
  }
  return text();
}

void Row::refuse(const std::string& what) const {
  throw StoreError(Kind::unusable, {fmt::format("{}: table {}: {}", path_.string(), table_, what)});
}

}  // namespace ovenproof::campaign_store

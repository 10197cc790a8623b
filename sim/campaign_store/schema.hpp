#pragma once
#include <cstdint>
#include <string>
#include <vector>

namespace SQLite {
class Database;
}

namespace ovenproof::campaign_store {

/// Marks the file as a campaign of this program ("OVPC"), and says which tables it has.
inline constexpr std::int64_t application_id = 0x4F565043;
inline constexpr std::int64_t schema_version = 1;

/// Makes the tables in an empty database, within the caller's transaction.
void create_schema(SQLite::Database& database);

/// True if the database holds nothing yet.
bool is_empty(SQLite::Database& database);

/// What is wrong with the database's mark, version and tables; empty if nothing is.
std::vector<std::string> schema_mistakes(SQLite::Database& database);

}  // namespace ovenproof::campaign_store

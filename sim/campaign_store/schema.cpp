#include "sim/campaign_store/schema.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace ovenproof::campaign_store {

namespace {

/// docs/campaign-store.md explains them. A change of any of them is a new `schema_version`.
constexpr std::array<const char*, 9> statements{
    R"(CREATE TABLE campaign (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  machine TEXT NOT NULL,
  machine_text TEXT NOT NULL,
  machine_sha256 TEXT NOT NULL,
  inputs_sha256 TEXT NOT NULL,
  build TEXT NOT NULL,
  instants INTEGER NOT NULL,
  seed INTEGER NOT NULL,
  pairs INTEGER NOT NULL,
  shard INTEGER NOT NULL,
  shards INTEGER NOT NULL,
  singles INTEGER NOT NULL,
  complete INTEGER NOT NULL
) STRICT)",
    R"(CREATE TABLE mode (
  id INTEGER PRIMARY KEY,
  demand INTEGER NOT NULL,
  place INTEGER NOT NULL,
  name TEXT NOT NULL UNIQUE,
  component TEXT NOT NULL,
  kind TEXT NOT NULL,
  what TEXT NOT NULL,
  source TEXT NOT NULL,
  note TEXT NOT NULL,
  excluded INTEGER NOT NULL,
  exclusion_reason TEXT NOT NULL,
  from_file INTEGER NOT NULL,
  accepted_reason TEXT NOT NULL
) STRICT)",
    R"(CREATE TABLE realisation (
  mode INTEGER NOT NULL REFERENCES mode (id),
  place INTEGER NOT NULL,
  onset TEXT NOT NULL,
  actions TEXT NOT NULL,
  PRIMARY KEY (mode, place)
) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE right_first_out (
  mode INTEGER NOT NULL REFERENCES mode (id),
  place INTEGER NOT NULL,
  cause TEXT NOT NULL,
  PRIMARY KEY (mode, place)
) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE instant (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  scan INTEGER NOT NULL,
  ms INTEGER NOT NULL,
  cycle INTEGER NOT NULL,
  phase TEXT NOT NULL
) STRICT)",
    R"(CREATE TABLE injection (
  number INTEGER PRIMARY KEY,
  mode INTEGER NOT NULL REFERENCES mode (id),
  realisation INTEGER NOT NULL,
  instant INTEGER NOT NULL REFERENCES instant (id),
  second_mode INTEGER REFERENCES mode (id),
  second_realisation INTEGER,
  second_instant INTEGER REFERENCES instant (id)
) STRICT)",
    R"(CREATE TABLE result (
  number INTEGER PRIMARY KEY REFERENCES injection (number),
  outcome TEXT NOT NULL,
  trip INTEGER,
  first_out TEXT,
  first_out_right INTEGER,
  reaction_ms INTEGER,
  decided TEXT NOT NULL,
  decided_after_ms INTEGER NOT NULL,
  met_at INTEGER NOT NULL,
  scans INTEGER NOT NULL,
  touched INTEGER NOT NULL
) STRICT)",
    R"(CREATE TABLE hazard_hit (
  number INTEGER NOT NULL REFERENCES result (number),
  hazard TEXT NOT NULL,
  first_ms INTEGER NOT NULL,
  lasted_ms INTEGER NOT NULL,
  beyond REAL NOT NULL,
  unit TEXT NOT NULL,
  PRIMARY KEY (number, hazard)
) STRICT, WITHOUT ROWID)",
    R"(CREATE VIEW outcome AS
SELECT result.number, mode.component, mode.name AS mode, instant.name AS instant,
       second.name AS second_mode, later.name AS second_instant, result.outcome,
       (SELECT group_concat(hazard) FROM hazard_hit WHERE hazard_hit.number = result.number)
         AS hazards,
       result.first_out, result.first_out_right, result.reaction_ms
FROM result
JOIN injection ON injection.number = result.number
JOIN mode ON mode.id = injection.mode
JOIN instant ON instant.id = injection.instant
LEFT JOIN mode AS second ON second.id = injection.second_mode
LEFT JOIN instant AS later ON later.id = injection.second_instant)"};

struct Entry {
  std::string type;
  std::string name;
  std::string sql;
  friend bool operator==(const Entry&, const Entry&) = default;
};

std::vector<Entry> entries(SQLite::Database& database) {
  std::vector<Entry> found;
  SQLite::Statement query(database,
                          "SELECT type, name, ifnull(sql, '') FROM sqlite_schema ORDER BY name");
  while (query.executeStep()) {
    found.push_back({query.getColumn(0).getString(), query.getColumn(1).getString(),
                     query.getColumn(2).getString()});
  }
  return found;
}

const std::vector<Entry>& expected_entries() {
  static const std::vector<Entry> expected = [] {
    SQLite::Database fresh(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    create_schema(fresh);
    return entries(fresh);
  }();
  return expected;
}

}  // namespace

void create_schema(SQLite::Database& database) {
  database.exec(fmt::format("PRAGMA application_id = {}", application_id));
  database.exec(fmt::format("PRAGMA user_version = {}", schema_version));
  for (const char* const each : statements) database.exec(each);
}

bool is_empty(SQLite::Database& database) {
  return database.execAndGet("SELECT count(*) FROM sqlite_schema").getInt() == 0;
}

std::vector<std::string> schema_mistakes(SQLite::Database& database) {
  const std::int64_t id = database.execAndGet("PRAGMA application_id").getInt64();
  if (id != application_id) return {"a database, but not of a campaign"};
  const std::int64_t version = database.execAndGet("PRAGMA user_version").getInt64();
  if (version != schema_version) {
    return {fmt::format("tables of version {}, this program knows version {}", version,
                        schema_version)};
  }
  std::vector<std::string> mistakes;
  const std::vector<Entry> found = entries(database);
  const auto named = [](const std::vector<Entry>& all, const std::string& name) {
    return std::find_if(all.begin(), all.end(), [&](const Entry& e) { return e.name == name; });
  };
  for (const Entry& each : expected_entries()) {
    const auto there = named(found, each.name);
    if (there == found.end()) {
      mistakes.push_back(fmt::format("the {} {} is missing", each.type, each.name));
    } else if (*there != each) {
      mistakes.push_back(fmt::format("the {} {} is another one", each.type, each.name));
    }
  }
  for (const Entry& each : found) {
    if (named(expected_entries(), each.name) == expected_entries().end()) {
      mistakes.push_back(fmt::format("a {} that no campaign has: {}", each.type, each.name));
    }
  }
  return mistakes;
}

}  // namespace ovenproof::campaign_store

#include <algorithm>
#include <mutex>
#include <set>

#include "firmware/logic/matrix.hpp"
#include "sim/campaign_store/rows.hpp"
#include "sim/hazards/hazards.hpp"

namespace ovenproof::campaign_store {

namespace {

using campaign::Detection;
using campaign::HazardHit;
using campaign::Result;

/// Results hold their units as static texts.
std::string_view kept(const std::string& text) {
  static std::mutex mutex;
  static std::set<std::string> texts;
  const std::scoped_lock lock(mutex);
  return *texts.insert(text).first;
}

std::vector<std::string> hazard_ids() {
  std::vector<std::string> ids;
  for (const hazards::Hazard& each : hazards::default_hazards()) ids.push_back(each.id);
  return ids;
}

void read_hits(SQLite::Database& database, const std::filesystem::path& path,
               std::vector<Result>& results) {
  const std::vector<std::string> ids = hazard_ids();
  SQLite::Statement query(database, "SELECT * FROM hazard_hit ORDER BY number");
  auto result = results.begin();
  while (query.executeStep()) {
    Row row(query, path, "hazard_hit");
    const auto number = static_cast<std::uint64_t>(row.integer());
    while (result != results.end() && result->number < number) ++result;
    if (result == results.end() || result->number != number) row.refuse("a hazard of no result");
    HazardHit hit;
    hit.hazard = static_cast<std::uint8_t>(row.one_of(ids));
    hit.first_ms = static_cast<std::uint64_t>(row.integer());
    hit.lasted_ms = static_cast<std::uint64_t>(row.integer());
    hit.beyond = row.real();
    hit.unit = kept(row.text());
    result->hazards.push_back(hit);
  }
  for (Result& each : results) {
    std::sort(each.hazards.begin(), each.hazards.end(),
              [](const HazardHit& a, const HazardHit& b) { return a.hazard < b.hazard; });
  }
}

}  // namespace

ResultWriter::ResultWriter(SQLite::Database& database)
    : result_(database, "INSERT OR REPLACE INTO result VALUES (?,?,?,?,?,?,?,?,?,?,?)"),
      hit_(database, "INSERT OR REPLACE INTO hazard_hit VALUES (?,?,?,?,?,?)") {}

void ResultWriter::write(const Result& result) {
  result_.reset();
  result_.clearBindings();
  result_.bind(1, as_row(result.number));
  result_.bind(2, std::string(name(result.outcome)));
  if (result.detection) {
    const Detection& detection = *result.detection;
    result_.bind(3, detection.trip ? 1 : 0);
    if (detection.first_out != logic::Cause::none) {
      result_.bind(4, std::string(logic::row_of(detection.first_out).key));
    }
    result_.bind(5, detection.first_out_right ? 1 : 0);
    result_.bind(6, as_row(detection.reaction_ms));
  }
  result_.bind(7, std::string(name(result.decided)));
  result_.bind(8, as_row(result.decided_after_ms));
  result_.bind(9, as_row(result.met_at));
  result_.bind(10, as_row(result.scans));
  result_.bind(11, as_row(result.touched));
  result_.exec();
  for (const HazardHit& hit : result.hazards) {
    hit_.reset();
    hit_.bind(1, as_row(result.number));
    hit_.bind(2, hazards::default_hazards().at(hit.hazard).id);
    hit_.bind(3, as_row(hit.first_ms));
    hit_.bind(4, as_row(hit.lasted_ms));
    hit_.bind(5, hit.beyond);
    hit_.bind(6, std::string(hit.unit));
    hit_.exec();
  }
}

std::vector<Result> read_results(SQLite::Database& database, const std::filesystem::path& path) {
  std::vector<Result> results;
  guarded(path, [&] {
    const std::int64_t injections =
        database.execAndGet("SELECT count(*) FROM injection").getInt64();
    SQLite::Statement query(database, "SELECT * FROM result ORDER BY number");
    while (query.executeStep()) {
      Row row(query, path, "result");
      Result result;
      result.number = static_cast<std::uint64_t>(row.integer(0, injections - 1));
      result.outcome = static_cast<campaign::Outcome>(row.one_of(campaign::outcome_names));
      const auto trip = row.maybe_integer(0, 1);
      const auto first_out = row.maybe_text();
      const auto right = row.maybe_integer(0, 1);
      const auto reaction = row.maybe_integer();
      if (trip.has_value() != right.has_value() || trip.has_value() != reaction.has_value() ||
          (first_out && !trip)) {
        row.refuse("half of a detection");
      }
      if (trip == 1 && !first_out) {
        row.refuse("a trip without a first-out");
      }
      if (trip) {
        result.detection =
            Detection{*trip != 0, first_out ? cause_named(row, *first_out) : logic::Cause::none,
                      *right != 0, static_cast<std::uint64_t>(*reaction)};
      }
      result.decided = static_cast<campaign::Decided>(row.one_of(campaign::decided_names));
      result.decided_after_ms = static_cast<std::uint64_t>(row.integer());
      result.met_at = static_cast<std::uint64_t>(row.integer());
      result.scans = static_cast<std::uint64_t>(row.integer());
      result.touched = row.bits();
      results.push_back(std::move(result));
    }
    read_hits(database, path, results);
  });
  return results;
}

}  // namespace ovenproof::campaign_store

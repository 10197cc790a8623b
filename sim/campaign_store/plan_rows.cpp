#include <algorithm>

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/campaign_store/rows.hpp"

namespace ovenproof::campaign_store {

namespace {

using campaign::Injection;
using campaign::Instant;
using campaign::Mode;
using campaign::Plan;
using campaign::Realisation;

std::string actions_text(const Realisation& realisation) {
  std::string text;
  for (const scenario::Action& action : realisation.actions) {
    if (!text.empty()) text += '\n';
    text += campaign::phrase_of(action);
  }
  return text;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    lines.push_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  return lines;
}

/// Demands have the rows behind the modes.
std::int64_t second_row(const Injection::Second& second, const Plan& plan) {
  return as_row(second.mode + (second.demand ? plan.modes.size() : 0));
}

void write_mode(SQLite::Database& database, const Mode& mode, std::size_t row, bool demand,
                std::size_t place) {
  SQLite::Statement insert(database,
                           "INSERT INTO mode VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  insert.bind(1, as_row(row));
  insert.bind(2, demand ? 1 : 0);
  insert.bind(3, as_row(place));
  insert.bind(4, mode.id);
  insert.bind(5, mode.component);
  insert.bind(6, std::string(name(mode.kind)));
  insert.bind(7, mode.what);
  insert.bind(8, mode.source);
  insert.bind(9, mode.note);
  insert.bind(10, mode.excluded ? 1 : 0);
  insert.bind(11, mode.exclusion_reason);
  insert.bind(12, mode.from_file ? 1 : 0);
  insert.bind(13, mode.accepted_reason);
  insert.exec();
  for (std::size_t i = 0; i < mode.realisations.size(); ++i) {
    SQLite::Statement how(database, "INSERT INTO realisation VALUES (?, ?, ?, ?)");
    how.bind(1, as_row(row));
    how.bind(2, as_row(i));
    how.bind(3, std::string(name(mode.realisations[i].onset)));
    how.bind(4, actions_text(mode.realisations[i]));
    how.exec();
  }
  for (std::size_t i = 0; i < mode.right_first_outs.size(); ++i) {
    SQLite::Statement right(database, "INSERT INTO right_first_out VALUES (?, ?, ?)");
    right.bind(1, as_row(row));
    right.bind(2, as_row(i));
    right.bind(3, std::string(logic::row_of(mode.right_first_outs[i]).key));
    right.exec();
  }
}

/// Reads the modes and demands, with what hangs on them.
void read_modes(SQLite::Database& database, const std::filesystem::path& path, Plan& plan) {
  SQLite::Statement query(database, "SELECT * FROM mode ORDER BY id");
  std::int64_t row_number = 0;
  while (query.executeStep()) {
    Row row(query, path, "mode");
    row.integer(row_number, row_number);
    ++row_number;
    const bool demand = row.flag();
    std::vector<Mode>& modes = demand ? plan.demands : plan.modes;
    if (!demand && !plan.demands.empty()) row.refuse("a failure mode behind a demand");
    row.integer(as_row(modes.size()), as_row(modes.size()));
    Mode mode;
    mode.id = row.text();
    mode.component = row.text();
    mode.kind = static_cast<campaign::ComponentKind>(row.one_of(campaign::component_kind_names));
    mode.what = row.text();
    mode.source = row.text();
    mode.note = row.text();
    mode.excluded = row.flag();
    mode.exclusion_reason = row.text();
    mode.from_file = row.flag();
    mode.accepted_reason = row.text();
    modes.push_back(std::move(mode));
  }
}

Mode& mode_at(Plan& plan, std::int64_t row) {
  const auto index = static_cast<std::size_t>(row);
  return index < plan.modes.size() ? plan.modes[index] : plan.demands[index - plan.modes.size()];
}

void read_realisations(SQLite::Database& database, const std::filesystem::path& path, Plan& plan) {
  const std::int64_t last = as_row(plan.modes.size() + plan.demands.size()) - 1;
  SQLite::Statement query(database, "SELECT * FROM realisation ORDER BY mode, place");
  while (query.executeStep()) {
    Row row(query, path, "realisation");
    Mode& mode = mode_at(plan, row.integer(0, last));
    row.integer(as_row(mode.realisations.size()), as_row(mode.realisations.size()));
    const auto onset = static_cast<campaign::Onset>(row.one_of(campaign::onset_names));
    auto read = campaign::read_realisation(onset, lines_of(row.text()));
    if (const auto* wrong = std::get_if<std::string>(&read)) row.refuse(*wrong);
    mode.realisations.push_back(std::move(std::get<Realisation>(read)));
  }
  SQLite::Statement causes(database, "SELECT * FROM right_first_out ORDER BY mode, place");
  while (causes.executeStep()) {
    Row row(causes, path, "right_first_out");
    Mode& mode = mode_at(plan, row.integer(0, last));
    row.integer(as_row(mode.right_first_outs.size()), as_row(mode.right_first_outs.size()));
    mode.right_first_outs.push_back(cause_named(row, row.text()));
  }
}

void read_instants(SQLite::Database& database, const std::filesystem::path& path, Plan& plan) {
  std::vector<std::string_view> phases;
  for (std::size_t i = 0; i < logic::phase_count; ++i) {
    phases.emplace_back(logic::name_of(static_cast<logic::Phase>(i)));
  }
  SQLite::Statement query(database, "SELECT * FROM instant ORDER BY id");
  while (query.executeStep()) {
    Row row(query, path, "instant");
    row.integer(as_row(plan.instants.size()), as_row(plan.instants.size()));
    Instant instant;
    instant.id = row.text();
    instant.scan = static_cast<std::uint64_t>(row.integer());
    instant.ms = static_cast<std::uint64_t>(row.integer());
    instant.cycle = static_cast<std::uint32_t>(row.integer(0, UINT32_MAX));
    instant.phase = static_cast<logic::Phase>(row.one_of(phases));
    instant.attendant = campaign::attendant_of(instant.id);
    plan.instants.push_back(std::move(instant));
  }
}

void read_injections(SQLite::Database& database, const std::filesystem::path& path, Plan& plan) {
  SQLite::Statement query(database, "SELECT * FROM injection ORDER BY number");
  while (query.executeStep()) {
    Row row(query, path, "injection");
    const std::int64_t modes = as_row(plan.modes.size());
    const std::int64_t all = modes + as_row(plan.demands.size());
    const std::int64_t instants = as_row(plan.instants.size());
    Injection injection;
    injection.number = plan.injections.size();
    row.integer(as_row(injection.number), as_row(injection.number));
    injection.mode = static_cast<std::size_t>(row.integer(0, modes - 1));
    const auto realisation = [&](const Mode& mode, std::int64_t number) {
      if (number >= as_row(mode.realisations.size())) row.refuse("realisation out of range");
      return static_cast<std::size_t>(number);
    };
    injection.realisation = realisation(plan.modes[injection.mode], row.integer());
    injection.instant = static_cast<std::size_t>(row.integer(0, instants - 1));
    const auto second = row.maybe_integer(0, all - 1);
    const auto second_realisation = row.maybe_integer();
    const auto second_instant = row.maybe_integer(0, instants - 1);
    if (second.has_value() != second_realisation.has_value() ||
        second.has_value() != second_instant.has_value()) {
      row.refuse("half of a second failure");
    }
    if (second.has_value() != (injection.number >= plan.singles)) {
      row.refuse("a pair among the single failures, or the other way round");
    }
    if (second) {
      Injection::Second& other = injection.second.emplace(Injection::Second{});
      other.demand = *second >= modes;
      other.mode = static_cast<std::size_t>(other.demand ? *second - modes : *second);
      other.realisation = realisation(mode_at(plan, *second), *second_realisation);
      other.instant = static_cast<std::size_t>(*second_instant);
    }
    plan.injections.push_back(injection);
  }
  if (plan.injections.size() < plan.singles) {
    throw StoreError(StoreError::Kind::unusable,
                     {fmt::format("{}: table injection: {} rows, {} single failures", path.string(),
                                  plan.injections.size(), plan.singles)});
  }
}

}  // namespace

logic::Cause cause_named(const Row& row, const std::string& key) {
  for (std::size_t i = 0; i < logic::cause_count; ++i) {
    const auto cause = static_cast<logic::Cause>(i);
    if (key == logic::row_of(cause).key) return cause;
  }
  row.refuse("a cause that this program does not know: " + key);
}

void write_modes(SQLite::Database& database, const Plan& plan) {
  std::size_t row = 0;
  for (std::size_t i = 0; i < plan.modes.size(); ++i) {
    write_mode(database, plan.modes[i], row++, false, i);
  }
  for (std::size_t i = 0; i < plan.demands.size(); ++i) {
    write_mode(database, plan.demands[i], row++, true, i);
  }
}

void write_instants(SQLite::Database& database, const Plan& plan) {
  for (std::size_t i = 0; i < plan.instants.size(); ++i) {
    const Instant& instant = plan.instants[i];
    SQLite::Statement insert(database, "INSERT INTO instant VALUES (?, ?, ?, ?, ?, ?)");
    insert.bind(1, as_row(i));
    insert.bind(2, instant.id);
    insert.bind(3, static_cast<std::int64_t>(instant.scan));
    insert.bind(4, static_cast<std::int64_t>(instant.ms));
    insert.bind(5, static_cast<std::int64_t>(instant.cycle));
    insert.bind(6, logic::name_of(instant.phase));
    insert.exec();
  }
}

void write_injections(SQLite::Database& database, const Plan& plan, std::size_t first) {
  SQLite::Statement insert(database, "INSERT OR REPLACE INTO injection VALUES (?,?,?,?,?,?,?)");
  for (std::size_t i = first; i < plan.injections.size(); ++i) {
    const Injection& injection = plan.injections[i];
    insert.reset();
    insert.clearBindings();
    insert.bind(1, as_row(i));
    insert.bind(2, as_row(injection.mode));
    insert.bind(3, as_row(injection.realisation));
    insert.bind(4, as_row(injection.instant));
    if (injection.second) {
      insert.bind(5, second_row(*injection.second, plan));
      insert.bind(6, as_row(injection.second->realisation));
      insert.bind(7, as_row(injection.second->instant));
    }
    insert.exec();
  }
}

Plan read_plan(SQLite::Database& database, const std::filesystem::path& path,
               std::uint64_t singles) {
  Plan plan;
  plan.singles = singles;
  guarded(path, [&] {
    read_modes(database, path, plan);
    read_realisations(database, path, plan);
    read_instants(database, path, plan);
    read_injections(database, path, plan);
  });
  return plan;
}

}  // namespace ovenproof::campaign_store

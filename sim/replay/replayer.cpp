#include "sim/replay/replayer.hpp"

#include <limits>
#include <utility>

#include "firmware/settings/store.hpp"

namespace ovenproof::replay {
namespace {

/// Rows after a finding that its excerpt holds.
constexpr std::int64_t lead_out_ms = 10'000;

template <class Found>
bool keep(std::vector<Found>& list, Found found) {
  if (list.size() >= ReplayResult::most_kept) return false;
  list.push_back(std::move(found));
  return true;
}

}  // namespace

Replayer::Replayer(const machine::Machine& machine, InputFeed& feed, JudgedProperties& properties,
                   bool from_power_up, ReplayResult& result)
    : machine_(machine),
      feed_(feed),
      properties_(properties),
      result_(result),
      comparison_(result.outputs, result.tolerance),
      from_power_up_(from_power_up),
      period_ms_(machine.settings.scan.period.value) {
  for (std::size_t i = 0; i < result.layout.columns.size(); ++i) {
    if (result.layout.columns[i].mapping.signal.role == Role::power) power_column_ = i;
  }
}

void Replayer::set_power(bool on) {
  if (on == controller_.has_value()) return;
  if (on) {
    board_.power_on();
    controller_.emplace(controller::start(board_));
  } else {
    board_.power_off();
    controller_.reset();
  }
}

void Replayer::begin(const Sample& sample) {
  board_ = mock::Board();
  controller_.reset();
  board_.store().write(controller::settings_offset, settings::encode(machine_.settings));
  make_present(sample, true);
  started_ms_ = sample.ms;
  next_scan_ms_ = sample.ms;
  comparison_.start(from_power_up_ && stretch_number_ == 0);
  properties_.start();
  stretch_ = Stretch{sample.ms, sample.ms, sample.line, sample.begin, {}, {}};
}

void Replayer::end() {
  comparison_.stop();
  collect_differences();
  close_excerpts(std::numeric_limits<std::int64_t>::max(), present_->end);
  stretch_.to_ms = present_->ms;
  stretch_.in_step_ms = comparison_.in_step_since();
  if (!stretch_.in_step_ms) {
    for (std::size_t i = 0; i < result_.outputs.size(); ++i) {
      if (comparison_.disagreeing()[i] == 0) continue;
      stretch_.never_in_step_by.emplace_back(name_of(result_.outputs[i].signal));
    }
  }
  keep(result_.stretches, std::move(stretch_));
  ++stretch_number_;
}

void Replayer::make_present(const Sample& sample, bool restart) {
  present_ = sample;
  fresh_ = true;
  feed_.take(sample, restart);
}

void Replayer::take(const Sample& sample) {
  if (!present_) {
    begin(sample);
  } else if (sample.ms - present_->ms > result_.gap_limit_ms) {
    scans_before(present_->ms + 1);
    end();
    keep(result_.gaps, Gap{present_->ms, sample.ms, sample.line});
    ++result_.gap_count;
    begin(sample);
  } else {
    feed_.look_ahead(sample);
    scans_before(sample.ms);
    close_excerpts(sample.ms, present_->end);
    make_present(sample, false);
  }
}

void Replayer::finish() {
  if (!present_) return;
  scans_before(present_->ms + 1);
  // So that the last rows are compared as far as the tolerance reaches.
  beyond_rows_ = true;
  scans_before(present_->ms + result_.tolerance.ms + period_ms_);
  end();
  result_.rows_compared = comparison_.rows_compared();
}

void Replayer::scans_before(std::int64_t ms) {
  for (; next_scan_ms_ < ms; next_scan_ms_ += period_ms_) scan(next_scan_ms_);
}

void Replayer::scan(std::int64_t ms) {
  const mock::FieldInputs inputs = feed_.at(ms, board_.field_outputs(), ms - started_ms_);
  const bool powered = !power_column_ || feed_.held()[*power_column_] != 0.0;
  board_.present(inputs);
  if (powered != controller_.has_value()) {
    const bool returned = powered && ms != stretch_.from_ms;
    set_power(powered);
    // The recorded controller has just started, as the firmware has.
    if (returned) {
      started_ms_ = ms;
      comparison_.start(true);
      collect_differences();
    }
  }
  board_.advance(static_cast<std::uint32_t>(period_ms_));
  if (board_.restart_requested()) {
    board_.restart();
    controller_.emplace(controller::start(board_));
  }
  if (controller_) controller::run_scan(*controller_, board_);

  const logic::Commands commands = controller_ ? controller_->commands() : logic::Commands{};
  comparison_.observe(ms, board_.field_outputs(), commands.phase, commands.first_out);
  if (fresh_) comparison_.sample(ms, present_->line, present_->values);
  fresh_ = false;
  collect_differences();
  if (beyond_rows_) return;
  for (const std::size_t property : properties_.observe(feed_.held(), inputs)) {
    ++result_.broken_count;
    keep(result_.broken,
         BrokenProperty{property, ms, present_->line, stretch_number_, {stretch_.begin, 0}, ""});
  }
}

void Replayer::collect_differences() {
  for (Difference& difference : comparison_.take_ended()) {
    ++result_.difference_count;
    keep(result_.differences,
         FoundDifference{difference, stretch_number_, {stretch_.begin, 0}, ""});
  }
}

void Replayer::close_excerpts(std::int64_t ms, std::uint64_t end) {
  for (FoundDifference& found : result_.differences) {
    if (found.rows.end == 0 && ms - lead_out_ms >= found.difference.to_ms) found.rows.end = end;
  }
  for (BrokenProperty& found : result_.broken) {
    if (found.rows.end == 0 && ms - lead_out_ms >= found.ms) found.rows.end = end;
  }
}

}  // namespace ovenproof::replay

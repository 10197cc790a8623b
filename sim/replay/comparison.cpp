#include "sim/replay/comparison.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace ovenproof::replay {
namespace {

constexpr std::int64_t never = std::numeric_limits<std::int64_t>::min() / 2;
/// How long everything must agree before firmware and recording count as in step.
constexpr std::int64_t in_step_after_ms = 1000;

}  // namespace

Comparison::Comparison(std::vector<ComparedOutput> outputs, Tolerance tolerance)
    : outputs_(std::move(outputs)),
      tolerance_(tolerance),
      tracks_(outputs_.size()),
      disagreeing_(outputs_.size()) {
  lamp_recorded_ = std::any_of(outputs_.begin(), outputs_.end(), [](const ComparedOutput& output) {
    return output.signal.role == Role::coil_out &&
           output.signal.index == static_cast<std::size_t>(hal::DigitalOut::fault_lamp);
  });
}

void Comparison::start(bool known) {
  stop();
  for (Track& track : tracks_) track.last_at = {never, never};
  drive_.clear();
  agree_since_.reset();
  agreeing_rows_ = 0;
  in_step_since_.reset();
  std::fill(disagreeing_.begin(), disagreeing_.end(), 0);
  // Whatever comes first is compared.
  if (known) in_step_since_ = never;
}

double Comparison::driven(const Signal& signal) const {
  if (signal.role == Role::heater) return driven_.heater_permille / 1000.0;
  return driven_.energised(static_cast<hal::DigitalOut>(signal.index)) ? 1.0 : 0.0;
}

void Comparison::observe(std::int64_t ms, const mock::FieldOutputs& outputs, logic::Phase phase,
                         logic::Cause first_out) {
  driven_ = outputs;
  phase_ = phase;
  first_out_ = first_out;
  for (std::size_t i = 0; i < outputs_.size(); ++i) {
    const Signal& signal = outputs_[i].signal;
    if (signal.role != Role::coil_out) continue;
    const bool on = outputs.energised(static_cast<hal::DigitalOut>(signal.index));
    tracks_[i].last_at[on ? 1 : 0] = ms;
  }
  drive_.push_back({ms, outputs.heater_permille / 1000.0});
  const std::int64_t oldest_row = pending_.empty() ? ms : pending_.front().ms;
  while (drive_.front().ms < oldest_row - tolerance_.ms) drive_.pop_front();
  judge_complete(ms);
}

void Comparison::judge_complete(std::int64_t ms) {
  while (!pending_.empty() && pending_.front().ms + tolerance_.ms <= ms) {
    const Pending row = std::move(pending_.front());
    pending_.pop_front();
    judge(row);
  }
}

void Comparison::sample(std::int64_t ms, int line, const std::vector<double>& values) {
  Pending row{ms, line, {}, {}, phase_, first_out_};
  for (const ComparedOutput& output : outputs_) {
    row.recorded.push_back(values[output.column]);
    row.firmware.push_back(driven(output.signal));
  }
  pending_.push_back(std::move(row));
  judge_complete(ms);
}

bool Comparison::explained(std::size_t output, const Pending& row) const {
  const double recorded = row.recorded[output];
  if (std::isnan(recorded)) return true;
  const std::int64_t earliest = row.ms - tolerance_.ms;
  if (outputs_[output].signal.role == Role::coil_out) {
    return tracks_[output].last_at[recorded != 0.0 ? 1 : 0] >= earliest;
  }
  // It moves in small steps: what lies between its least and greatest was passed.
  double least = std::numeric_limits<double>::infinity();
  double greatest = -least;
  for (const Drive& drive : drive_) {
    if (drive.ms < earliest) continue;
    least = std::min(least, drive.share);
    greatest = std::max(greatest, drive.share);
  }
  return recorded >= least - tolerance_.drive && recorded <= greatest + tolerance_.drive;
}

void Comparison::wait_for_step(const Pending& row, bool all_agree) {
  if (!all_agree) {
    agree_since_.reset();
    agreeing_rows_ = 0;
    return;
  }
  if (!agree_since_) agree_since_ = row.ms;
  ++agreeing_rows_;
  // A tripped firmware and one that is at rest drive the same, but for the lamp.
  const bool told_apart = lamp_recorded_ || row.phase != logic::Phase::tripped;
  if (told_apart && row.ms - *agree_since_ >= in_step_after_ms) in_step_since_ = agree_since_;
}

void Comparison::judge(const Pending& row) {
  last_judged_ms_ = row.ms;
  const bool in_step = in_step_since_.has_value();
  if (in_step_since_ == never) in_step_since_ = row.ms;
  bool all_agree = true;
  for (std::size_t i = 0; i < outputs_.size(); ++i) {
    const bool agrees = explained(i, row);
    all_agree = all_agree && agrees;
    if (!agrees) ++disagreeing_[i];
    if (!in_step) continue;
    std::optional<Difference>& open = tracks_[i].open;
    if (agrees && open) {
      open->to_ms = row.ms;
      open->ended = true;
      ended_.push_back(*open);
      open.reset();
    } else if (!agrees && !open) {
      open = Difference{outputs_[i].signal, row.ms,          row.ms,    false,        row.line,
                        row.firmware[i],    row.recorded[i], row.phase, row.first_out};
    }
  }
  if (in_step) {
    ++rows_compared_;
  } else {
    wait_for_step(row, all_agree);
    if (in_step_since_) rows_compared_ += agreeing_rows_;
  }
}

void Comparison::stop() {
  // Rows without a complete window cannot be judged: what would explain them may be missing.
  pending_.clear();
  for (Track& track : tracks_) {
    if (!track.open) continue;
    track.open->to_ms = last_judged_ms_;
    ended_.push_back(*track.open);
    track.open.reset();
  }
}

std::vector<Difference> Comparison::take_ended() { return std::exchange(ended_, {}); }

}  // namespace ovenproof::replay

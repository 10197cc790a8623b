#include "sim/replay/survey.hpp"

#include <algorithm>
#include <cmath>

namespace ovenproof::replay {
namespace {

/// Different intervals that are told apart. A log with more is so irregular that a rounded median
/// does as well.
constexpr std::size_t most_steps = 4096;

}  // namespace

void Surveyor::take(const Sample& sample) {
  if (survey_.rows == 0) {
    survey_.first_ms = sample.ms;
    std::fill(last_value_ms_.begin(), last_value_ms_.end(), sample.ms);
  } else if (const std::int64_t step = sample.ms - survey_.last_ms; step == 0) {
    ++survey_.same_time;
  } else {
    survey_.longest_step_ms = std::max(survey_.longest_step_ms, step);
    auto at = steps_.lower_bound(step);
    const bool known = at != steps_.end() && at->first == step;
    if (!known && steps_.size() >= most_steps) {
      if (at == steps_.end()) --at;
      ++at->second;
    } else {
      ++steps_[step];
    }
  }
  ++survey_.rows;
  survey_.last_ms = sample.ms;
  for (std::size_t i = 0; i < sample.values.size(); ++i) {
    ColumnSurvey& column = survey_.columns[i];
    if (std::isnan(sample.values[i])) {
      ++column.empty;
      column.longest_empty_ms = std::max(column.longest_empty_ms, sample.ms - last_value_ms_[i]);
      continue;
    }
    if (!column.first) column.first = sample.values[i];
    last_value_ms_[i] = sample.ms;
  }
}

Survey Surveyor::finish(TimeFormat format) const {
  Survey survey = survey_;
  survey.time_format = format;
  std::uint64_t all = 0;
  for (const auto& [step, count] : steps_) all += count;
  const auto step_of = [&](std::uint64_t percent) -> std::int64_t {
    std::uint64_t up_to = 0;
    for (const auto& [step, count] : steps_) {
      up_to += count;
      if (100 * up_to >= percent * all) return step;
    }
    return 0;
  };
  survey.interval_ms = step_of(50);
  survey.regular_step_ms = step_of(95);
  return survey;
}

}  // namespace ovenproof::replay

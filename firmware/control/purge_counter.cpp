#include "firmware/control/purge_counter.hpp"

#include "firmware/control/accumulate.hpp"

namespace ovenproof::control {

void PurgeCounter::update(bool counting, bool flow_proven, Milliseconds dt) {
  const bool run = counting && flow_proven;
  if (!run)
    proven_ = Milliseconds{};
  else if (running_)
    proven_ = saturating_sum(proven_, dt);
  running_ = run;
}

float PurgeCounter::volumes(const settings::Purge& settings) const {
  return static_cast<float>(proven_.value) / 60'000.0F *
         (settings.counted_flow().value / settings.chamber_volume_L);
}

bool PurgeCounter::complete(const settings::Purge& settings) const {
  return running_ && volumes(settings) >= settings.minimum_volumes;
}

}  // namespace ovenproof::control

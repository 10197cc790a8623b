#pragma once
#include "firmware/settings/settings.hpp"
#include "sim/prove/benign_oven.hpp"

namespace ovenproof::app {

/// How long things take on a machine with these settings: its timers, its programme, and parts that
/// answer in half the time that they are granted.
prove::Durations durations_of(const settings::Settings& settings);

}  // namespace ovenproof::app

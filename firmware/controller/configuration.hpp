#pragma once
#include "firmware/conditioning/analog_front_end.hpp"
#include "firmware/conditioning/contact_bank.hpp"
#include "firmware/conditioning/door.hpp"
#include "firmware/conditioning/flap_watch.hpp"
#include "firmware/conditioning/heat_plausibility.hpp"
#include "firmware/conditioning/oven_temperature.hpp"
#include "firmware/conditioning/over_temperature.hpp"
#include "firmware/conditioning/oxygen_thresholds.hpp"
#include "firmware/conditioning/oxygen_trust.hpp"
#include "firmware/control/timer_bank.hpp"
#include "firmware/logic/options.hpp"
#include "firmware/logic/timers.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::controller {

using TimerBank = control::TimerBank<logic::timer_count>;

/// The settings, and what each part of the controller reads of them, worked out once at start-up.
struct Configuration {
  settings::Settings settings;
  logic::Options options;
  TimerBank::Presets timers;
  conditioning::ContactBankLimits contacts;
  conditioning::DoorLimits door;
  conditioning::FlapLimits flaps;
  conditioning::AnalogLimits analog;
  conditioning::OvenTemperatureLimits temperature;
  conditioning::OverTemperatureLimits over_temperature;
  conditioning::HeatPlausibilityLimits heat;
  conditioning::OxygenThresholdLimits thresholds;
  conditioning::OxygenTrustLimits trust;
};

Configuration configure(const settings::Settings& settings);

}  // namespace ovenproof::controller

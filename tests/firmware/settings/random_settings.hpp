#pragma once
#include <cstdint>
#include <rapidcheck.h>

#include "firmware/settings/table.hpp"

namespace ovenproof::settings {

/// A value within the range of `entry`, its ends more often than chance would have them.
inline Value random_value(const Descriptor& entry) {
  switch (*rc::gen::inRange(0, 6)) {
    case 0:
      return entry.minimum;
    case 1:
      return entry.maximum;
    default:
      break;
  }
  if (entry.kind == Kind::number) {
    const float share = static_cast<float>(*rc::gen::inRange(0, 1'000'001)) / 1'000'000.0F;
    const float low = entry.minimum.as_number();
    const float span = entry.maximum.as_number() - low;
    const float value = low + span * share;
    return Value::number(value < entry.maximum.as_number() ? value : entry.maximum.as_number());
  }
  const std::uint64_t span = std::uint64_t{entry.maximum.bits} - entry.minimum.bits + 1;
  const auto step = *rc::gen::inRange<std::uint64_t>(0, span);
  return {entry.kind, entry.minimum.bits + static_cast<std::uint32_t>(step)};
}

/// The defaults with some settings changed within their ranges; they may contradict each other.
inline Settings random_settings() {
  Settings settings;
  const int changes = *rc::gen::inRange(0, 8);
  for (int i = 0; i < changes; ++i) {
    const Descriptor& entry = table[*rc::gen::inRange<std::size_t>(0, table.size())];
    entry.set(settings, random_value(entry));
  }
  return settings;
}

}  // namespace ovenproof::settings

#pragma once
#include <cstddef>
#include <rapidcheck.h>

#include "firmware/settings/table.hpp"

namespace ovenproof::control {

/// Controller settings anywhere within their ranges, often at an end.
inline settings::Control random_control() {
  settings::Settings all;
  for (const settings::Descriptor& entry : settings::table) {
    if (!entry.key.starts_with("control.")) continue;
    switch (*rc::gen::inRange(0, 3)) {
      case 0:
        entry.set(all, entry.minimum);
        break;
      case 1:
        entry.set(all, entry.maximum);
        break;
      default:
        break;
    }
  }
  return all.control;
}

}  // namespace ovenproof::control

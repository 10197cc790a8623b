#pragma once

namespace ovenproof::rig {

/// Everything people can do to the oven, as levels: a button is pressed while its flag is true.
struct Hands {
  bool door_open = false;    ///< the door is wanted open; it takes its travel time
  bool reaching_in = false;  ///< somebody works in the opening of the open door
  bool start = false;
  bool stop = false;
  bool reset = false;
  bool estop = false;          ///< emergency stop pressed in
  bool limiter_reset = false;  ///< the limiter's own reset button
  friend constexpr bool operator==(const Hands&, const Hands&) = default;
};

}  // namespace ovenproof::rig

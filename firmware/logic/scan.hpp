#pragma once
#include "firmware/logic/commands.hpp"
#include "firmware/logic/facts.hpp"
#include "firmware/logic/matrix.hpp"
#include "firmware/logic/memory.hpp"

/// The events of the state machine, in the order in which a scan sends them. An inner machine that
/// handles an event hides it from the outer ones, so each rank of decision has an event of its own
/// and protection comes first.
namespace ovenproof::logic {

/// Contacts that went on in this scan, where they count. See watch_contacts().
struct Edges {
  bool start = false;
  bool reset = false;
  bool door_closed = false;

  friend constexpr bool operator==(const Edges&, const Edges&) = default;
};

/// What guards may look at. They decide, and change nothing.
struct View {
  const Facts& facts;
  const Options& options;
  const Memory& memory;
  Phase phase;             ///< before the event
  Edges edges;             ///< from the advance on
  bool reset_now = false;  ///< a reset was accepted in this scan
};

/// One scan in progress: what actions may change.
struct Scan {
  const Facts& facts;
  const Options& options;
  Memory& memory;
  Phase phase;  ///< before the event
  Commands& commands;
  Edges edges;

  [[nodiscard]] View view() const {
    return {facts, options, memory, phase, edges, commands.acknowledge};
  }
};

/// Sent while a trip is latched.
struct Protect {
  Scan& scan;
};
/// Stop, or the inert gas lost: breaks off what goes on.
struct Interrupt {
  Scan& scan;
};
/// The normal course.
struct Advance {
  Scan& scan;
};
/// After the sequence is settled: gas, fan and jacket follow.
struct Actuate {
  Scan& scan;
};

}  // namespace ovenproof::logic

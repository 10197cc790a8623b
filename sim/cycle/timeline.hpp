#pragma once
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "sim/cycle/attendant.hpp"
#include "sim/rig/rig.hpp"

namespace ovenproof::cycle {

enum class EventKind : std::uint8_t { person, phase, trip, state, output, hazard };

/// Something that happened, at the end of a scan.
struct Event {
  std::uint64_t ms = 0;
  EventKind kind = EventKind::state;
  std::string text;
  std::string_view cause{};  ///< of a trip: the key of its row of the matrix
};

const char* name_of(EventKind kind);

/// Writes down what changes from scan to scan: what the attendant does, the states of the
/// controller, and its outputs at the terminals.
class Timeline {
 public:
  /// After each scan.
  void observe(const rig::Rig& rig);
  /// The same with an attendant at the oven.
  void observe(const rig::Rig& rig, const Attendant& attendant);
  void add(std::uint64_t ms, EventKind kind, std::string text);

  [[nodiscard]] const std::vector<Event>& events() const { return events_; }

 private:
  void observe_controller(std::uint64_t now_ms, const logic::Commands& commands);
  void observe_outputs(std::uint64_t now_ms, const mock::FieldOutputs& outputs);

  std::vector<Event> events_;
  const char* doing_ = "";
  bool powered_ = false;
  logic::Commands last_;
  std::uint32_t coils_ = 0;
};

}  // namespace ovenproof::cycle

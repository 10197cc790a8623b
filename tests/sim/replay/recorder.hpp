#pragma once
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/rig/rig.hpp"

namespace ovenproof::test {

/// How a recorder writes.
struct RecorderStyle {
  char delimiter = ',';
  char decimal = '.';
  enum class Time : std::uint8_t { seconds, milliseconds, iso8601, clock } time = Time::iso8601;
  std::uint32_t every_ms = 10'000;  ///< a row at least this often, and at every change of a contact
  std::string line_end = "\n";
};

/// A recorder in a control cabinet: writes contacts, coils, and readings in engineering units, as
/// the firmware saw them, into the columns of scenarios/logs/site_mapping.yaml.
class Recorder {
 public:
  explicit Recorder(RecorderStyle style, bool oxygen);
  /// After each scan. `since_ms`: when the rig's own time began.
  void observe(const rig::Rig& rig, std::uint64_t since_ms = 0);
  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  RecorderStyle style_;
  bool oxygen_;
  std::string text_;
  std::string last_;
  std::uint64_t next_ms_ = 0;
};

/// The machine of that name in scenarios/machines.
machine::Machine demo_machine(const std::string& name);

/// Runs an oven with its attendant, and a minute longer; for at most `most_s` simulated seconds.
/// \param meddle  before each scan, after the attendant
void run_attended(const machine::Machine& machine, double most_s,
                  const std::function<void(rig::Rig&)>& meddle,
                  const std::function<void(const rig::Rig&)>& observe);

/// The example logs of scenarios/logs, by file name.
std::vector<std::pair<std::string, std::string>> example_logs();

}  // namespace ovenproof::test

#pragma once
#include "firmware/control/clock_check.hpp"
#include "firmware/control/scan_supervision.hpp"
#include "firmware/controller/annunciator.hpp"
#include "firmware/controller/configuration.hpp"
#include "firmware/controller/fact_table.hpp"
#include "firmware/controller/instruments.hpp"
#include "firmware/controller/regulation.hpp"
#include "firmware/hal/board.hpp"
#include "firmware/logic/logic.hpp"
#include "firmware/settings/store.hpp"

namespace ovenproof::controller {

/// The oven controller: inputs and time in, outputs out, once a scan. A plain value without
/// pointers: a copy goes on bit for bit as the original would.
class Controller {
 public:
  /// As after a start of the processor. Settings that were refused leave the controller tripped:
  /// it scans, energises nothing and cannot be reset.
  Controller(const settings::Decoded& settings, hal::ResetCause cause);

  /// One scan: read, condition, decide, interlock, drive.
  hal::OutputImage scan(const hal::InputImage& inputs, Milliseconds now);

  [[nodiscard]] const Configuration& configuration() const { return configuration_; }
  [[nodiscard]] settings::Refusal settings_refusal() const { return refusal_; }
  [[nodiscard]] const Instruments& instruments() const { return instruments_; }
  [[nodiscard]] const Regulation& regulation() const { return regulation_; }
  [[nodiscard]] const logic::Logic& logic() const { return logic_; }
  /// Facts that the last scan's logic saw.
  [[nodiscard]] const FactTable& facts() const { return facts_; }
  /// What it answered.
  [[nodiscard]] const logic::Commands& commands() const { return commands_; }
  /// Matrix causes present in the last scan, bit n for Cause n.
  [[nodiscard]] std::uint64_t present_causes() const {
    return logic_.present_causes(facts_.reader());
  }

 private:
  [[nodiscard]] hal::OutputImage drive(Milliseconds dt);

  Configuration configuration_;
  settings::Refusal refusal_;
  control::ScanSupervision supervision_;
  control::ClockCheck clock_check_;
  Instruments instruments_;
  FactTable facts_;
  logic::Logic logic_;
  logic::Commands commands_;
  Regulation regulation_;
  Annunciator annunciator_;
};

/// Where the settings' image lies in the non-volatile store.
inline constexpr std::size_t settings_offset = 0;

/// Starts the controller on a board: reads the settings from its store.
template <hal::Board B>
Controller start(B& board) {
  settings::Image image{};
  const bool read = board.store_read(settings_offset, image);
  return Controller(read ? settings::decode(image) : settings::Decoded{}, board.reset_cause());
}

/// One scan on a board.
template <hal::Board B>
void run_scan(Controller& controller, B& board) {
  board.write_outputs(controller.scan(board.read_inputs(), board.now()));
  board.kick_watchdog();
}

}  // namespace ovenproof::controller

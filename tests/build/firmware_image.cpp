#include "firmware/controller/controller.hpp"

/// Everything a board port takes from the firmware, on a board that has nothing: what the templates
/// of the firmware need shows up here.
namespace ovenproof {
namespace {

struct BareBoard {
  static hal::InputImage read_inputs() { return {}; }
  static void write_outputs(const hal::OutputImage&) {}
  static Milliseconds now() { return {}; }
  static bool store_read(std::size_t, std::span<std::byte>) { return false; }
  static bool store_write(std::size_t, std::span<const std::byte>) { return false; }
  static void kick_watchdog() {}
  static hal::ResetCause reset_cause() { return hal::ResetCause::power_up; }
};

}  // namespace

[[noreturn]] void run_controller() {
  BareBoard board;
  controller::Controller controller = controller::start(board);
  for (;;) controller::run_scan(controller, board);
}

}  // namespace ovenproof

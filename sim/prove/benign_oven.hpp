#pragma once
#include <array>
#include <cstdint>

#include "firmware/logic/logic.hpp"
#include "sim/prove/adversary.hpp"

namespace ovenproof::prove {

/// How long things take on one machine, ms. Timers are those of the controller, the others what a
/// healthy oven needs.
struct Durations {
  std::array<std::uint32_t, logic::timer_count> timers{};
  std::uint32_t scan = 10;
  std::uint32_t contactor = 100;
  std::uint32_t flow = 1000;      ///< valve and flow switch, either way
  std::uint32_t fan = 3000;       ///< until airflow is proven, and until it is gone
  std::uint32_t damper = 20'000;  ///< from stop to stop
  std::uint32_t blower = 3000;
  std::uint32_t oxygen_fall = 600'000;  ///< purging until oxygen is at the gate
  std::uint32_t purge = 900'000;        ///< until the purge volumes are counted
  std::uint32_t ramp = 3'600'000;       ///< of each segment
  std::uint32_t soak = 3'600'000;       ///< of each segment
  std::uint32_t segments = 1;
  std::uint32_t elements_cool = 600'000;  ///< without heat, until the fan may stop
  std::uint32_t cool_down = 7'200'000;    ///< without heat, until it may be unloaded
};

/// What the attendant is after.
enum class Aim : std::uint8_t {
  standby,  ///< clears trips, stops what runs
  unload    ///< lets a running cycle run, and clears trips
};

/// A healthy oven with an attendant who does what the manual says, around a logic in any state:
/// deterministic, in real durations. Its time jumps to where something happens next.
class BenignOven {
 public:
  /// As if the oven had long been as the logic has it: proofs agree with what is energised.
  BenignOven(const logic::Options& options, const Durations& durations,
             const logic::LogicState& state, Aim aim);

  /// One scan, and on to the next instant at which anything can change. False if nothing ever will
  /// by itself.
  bool step();

  [[nodiscard]] const logic::Logic& logic() const { return logic_; }
  [[nodiscard]] const logic::Commands& commands() const { return commands_; }
  /// Since the beginning, ms.
  [[nodiscard]] std::uint64_t now() const { return now_; }
  [[nodiscard]] std::uint64_t scans() const { return scans_; }
  /// Nothing is energised, the sequence is in standby.
  [[nodiscard]] bool at_rest() const;

 private:
  /// A proof that follows its output after a while.
  struct Follower {
    bool is = false;
    bool wanted = false;
    std::uint64_t due = 0;
    void follow(bool output, std::uint64_t now, std::uint32_t after);
  };
  static constexpr std::uint64_t never = UINT64_MAX;
  static constexpr std::uint32_t button_half_period = 500;

  void tell();
  void set(logic::Fact fact, bool value);
  void follow();
  [[nodiscard]] std::uint64_t next_event() const;
  [[nodiscard]] bool button() const;

  Durations durations_;
  Aim aim_;
  logic::Logic logic_;
  logic::Commands commands_;
  FactSet facts_ = 0;
  std::uint64_t now_ = 0;
  std::uint64_t scans_ = 0;
  unsigned idle_levels_ = 0;  ///< of the buttons, bit 0 up and bit 1 down, that changed nothing

  Follower k1_, k2_, purge_flow_, process_flow_, fan_, blower_;
  std::uint64_t damper_since_ = 0;  ///< it moves, or stands, since then
  std::uint32_t damper_from_ = 0;   ///< position then, ms of travel from the closed stop
  bool damper_opens_ = false;
  bool inert_ = false;
  std::uint64_t purged_since_ = never;   ///< purge flow without a break
  std::uint64_t counted_since_ = never;  ///< volumes counted without a break
  std::uint64_t cold_from_ = 0;          ///< last instant with heat
  std::uint64_t stage_since_ = never;    ///< heat in the present ramp or soak without a break
  std::uint32_t stage_done_ = 0;         ///< ms of it before
  logic::Phase stage_ = logic::Phase::tripped;
  std::uint32_t segment_ = 0;
  std::array<std::uint64_t, logic::timer_count> timer_since_{};
};

}  // namespace ovenproof::prove

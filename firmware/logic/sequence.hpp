#pragma once
#include <array>
#include <cstddef>

#include "firmware/logic/phase.hpp"
#include "firmware/logic/scan.hpp"

namespace ovenproof::logic {

/// Where each region of the machine is: all there is to know of it, whatever inner machines that
/// are not active once were in.
struct Places {
  Phase phase = Phase::tripped;
  GasPath gas = GasPath::shut;
  FanState fan = FanState::off;
  JacketState jacket = JacketState::closed;

  friend constexpr bool operator==(const Places&, const Places&) = default;
};

/// The hierarchical state machine behind a plain face: events in, states out. Its tables are in
/// machine.hpp and its library stays out of every header but that one, at the price of a box of
/// fixed size here.
class Sequence {
 public:
  /// Tripped, everything shut, off and closed.
  Sequence();
  Sequence(const Sequence& other);
  Sequence& operator=(const Sequence& other);
  ~Sequence();

  void send(const Protect& event);
  void send(const Interrupt& event);
  void send(const Advance& event);
  void send(const Actuate& event);

  [[nodiscard]] Phase phase() const;
  [[nodiscard]] GasPath gas_path() const;
  [[nodiscard]] FanState fan_state() const;
  [[nodiscard]] JacketState jacket_state() const;

  [[nodiscard]] Places places() const;
  /// Puts every region there, without a transition: for taking up a run where it was left.
  void put(const Places& places);

 private:
  alignas(std::max_align_t) std::array<std::byte, 128> box_;
};

}  // namespace ovenproof::logic

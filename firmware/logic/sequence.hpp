#pragma once
#include <array>
#include <cstddef>

#include "firmware/logic/phase.hpp"
#include "firmware/logic/scan.hpp"

namespace ovenproof::logic {

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

 private:
  alignas(std::max_align_t) std::array<std::byte, 128> box_;
};

}  // namespace ovenproof::logic

#pragma once
#include <cstdint>
#include <string_view>
#include <vector>

#include "hal-mock/signal_fault.hpp"

namespace ovenproof::mock {

/// Names one injected fault, so that it can be cleared.
enum class FaultId : std::uint32_t {};

/// The faults of the wiring and what they remember. It allocates only when a fault is injected.
class Wiring {
 public:
  static constexpr std::size_t max_faults = 64;

  /// A set of points, one bit each by `Point::index()`.
  using PointSet = std::uint64_t;
  static_assert(Point::count <= 64);
  static constexpr PointSet bit(Point p) { return PointSet{1} << p.index(); }

  /// Adds a fault that `refusal` accepts.
  FaultId inject(const SignalFault& fault);
  /// Removes it; false if there is none of that id.
  bool clear(FaultId id);
  void clear_all() { faults_.clear(); }
  /// Without power an output that is frozen no longer knows what it held: it is off, and stays off.
  void forget_frozen_outputs();
  /// Forgets faults that have ended.
  void forget_ended(VirtualMs now);

  [[nodiscard]] std::size_t size() const { return faults_.size(); }

  /// The faults present at one instant. They stay the same until `same_until`.
  struct Active {
    PointSet any = 0;  ///< points with a fault
    PointSet each_ms =
        0;  ///< of these, points whose fault must see every ms: they remember or move
    VirtualMs same_until = no_end;
    friend bool operator==(const Active&, const Active&) = default;
  };
  [[nodiscard]] Active active_at(VirtualMs instant) const;

  /// What comes out of the wire of that point when `signal` goes in; `contacts`: what the field
  /// presents at the contact inputs, bit n of `hal::DigitalIn` n. Call it for instants that
  /// never run backwards; for points of `each_ms` call it at every ms. Asking again for the same
  /// instant gives the answer for the newer signal.
  double carry(Point point, double signal, VirtualMs instant, std::uint32_t contacts = 0);

  friend bool operator==(const Wiring&, const Wiring&) = default;

 private:
  struct Entry {
    SignalFault fault;
    FaultId id{};
    bool started = false;         ///< has seen a signal since onset
    bool changed = false;         ///< bounce: the signal has changed since onset
    double held = 0.0;            ///< the signal at onset (frozen), the last signal (bounce)
    VirtualMs since_ms = 0;       ///< first instant seen (delay), last change (bounce)
    std::vector<double> history;  ///< delay: one signal a ms, by instant modulo size
    friend bool operator==(const Entry&, const Entry&) = default;

    [[nodiscard]] bool active(VirtualMs t) const { return fault.onset_ms <= t && t < fault.end_ms; }
    double carry(double signal, VirtualMs instant, std::uint32_t contacts);
    double freeze(double signal);
    double bounce(const Bounce& b, double signal, VirtualMs instant);
    double delay(const Delay& d, double signal, VirtualMs instant);
  };

  std::vector<Entry> faults_;  ///< in the order in which they compose
  std::uint32_t last_id_ = 0;
};

}  // namespace ovenproof::mock

#include "hal-mock/signal_fault.hpp"

#include <cmath>

namespace ovenproof::mock {
namespace {

template <class... Lambdas>
struct Overloaded : Lambdas... {
  using Lambdas::operator()...;
};
template <class... Lambdas>
Overloaded(Lambdas...) -> Overloaded<Lambdas...>;  // clang 14 does not deduce aggregates

/// False for NaN, too.
bool in_magnitude(double x) { return std::abs(x) <= max_magnitude; }

std::string_view refuse_value(Point point, const StuckAt& e) {
  if (point.is_binary() && e.value != 0.0 && e.value != 1.0) {
    return "a contact or coil can be stuck at 0 or 1 only";
  }
  if (point == Point::heater() && !(e.value >= 0.0 && e.value <= 1000.0)) {
    return "a heater drive can be stuck at 0 to 1000 permille only";
  }
  return in_magnitude(e.value) ? "" : "the value must be a number from -1e6 to 1e6";
}

std::string_view refuse_parameters(Point point, const Effect& effect) {
  return std::visit(
      Overloaded{[&](const StuckAt& e) { return refuse_value(point, e); },
                 [](const Drift& e) -> std::string_view {
                   return in_magnitude(e.per_hour)
                              ? ""
                              : "the drift per hour must be a number from -1e6 to 1e6";
                 },
                 [](const Offset& e) -> std::string_view {
                   return in_magnitude(e.by) ? "" : "the offset must be a number from -1e6 to 1e6";
                 },
                 [](const Gain& e) -> std::string_view {
                   return in_magnitude(e.factor) && e.factor != 0.0
                              ? ""
                              : "the factor must be a number from -1e6 to 1e6, not 0";
                 },
                 [](const Noise& e) -> std::string_view {
                   return in_magnitude(e.amplitude) && e.amplitude >= 0.0
                              ? ""
                              : "the amplitude must be a number from 0 to 1e6";
                 },
                 [](const Bounce& e) -> std::string_view {
                   if (e.period_ms < 2 || e.period_ms > 10'000 || e.period_ms % 2 != 0) {
                     return "the bounce period must be even, 2 to 10000 ms";
                   }
                   return e.duration_ms >= 1 && e.duration_ms <= 60'000
                              ? ""
                              : "the bounce duration must be 1 to 60000 ms";
                 },
                 [](const Delay& e) -> std::string_view {
                   return e.by_ms >= 1 && e.by_ms <= max_delay_ms
                              ? ""
                              : "the delay must be 1 to 60000 ms";
                 },
                 [](const Intermittent& e) -> std::string_view {
                   if (e.period_ms < 2 || e.period_ms > 3'600'000) {
                     return "the period must be 2 to 3600000 ms";
                   }
                   return e.open_ms >= 1 && e.open_ms < e.period_ms
                              ? ""
                              : "the open time must be at least 1 ms and below the period";
                 },
                 [&](const CrossedWith& e) -> std::string_view {
                   return Point(e.other) != point ? "" : "a contact cannot be crossed with itself";
                 },
                 // The others have no parameters.
                 [](const auto&) -> std::string_view { return ""; }},
      effect);
}

}  // namespace

std::string_view refusal(Point point, FaultKind kind) {
  switch (kind) {
    case FaultKind::gain:
    case FaultKind::offset:
    case FaultKind::drift:
    case FaultKind::noise:
      return point.is_binary() ? "a contact or coil is only on or off: it can be stuck, frozen, "
                                 "open, short, crossed, bouncing, late or intermittent"
                               : "";
    case FaultKind::bounce:
      return point.is_binary() ? "" : "only contacts and coils bounce: use noise or intermittent";
    case FaultKind::crossed_with:
      return point.point_class() == PointClass::digital_in ? ""
                                                           : "only contact inputs can be crossed";
    case FaultKind::delay:
    case FaultKind::frozen:
    case FaultKind::stuck_at:
    case FaultKind::short_circuit:
    case FaultKind::intermittent:
    case FaultKind::open:
      return "";
    case FaultKind::count:
      break;
  }
  return "no such kind of fault";
}

std::string_view refusal(const SignalFault& fault) {
  if (const auto reason = refusal(fault.point, kind(fault.effect)); !reason.empty()) return reason;
  if (fault.onset_ms >= fault.end_ms) return "the fault must end after its onset";
  return refuse_parameters(fault.point, fault.effect);
}

}  // namespace ovenproof::mock

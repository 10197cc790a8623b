#include "hal-mock/wiring.hpp"

#include <algorithm>

#include "hal-mock/terminals.hpp"

namespace ovenproof::mock {
namespace {

constexpr double ms_per_hour = 3'600'000.0;

bool is_current_loop(Point p) { return p == Point(hal::AnalogIn::oxygen_loop); }

double open_signal(Point p) {
  return p.point_class() == PointClass::analog_in && !is_current_loop(p) ? open_circuit : 0.0;
}

double short_signal(Point p) {
  switch (p.point_class()) {
    case PointClass::digital_in:
    case PointClass::digital_out:
      return 1.0;
    case PointClass::heater:
      return 1000.0;
    case PointClass::analog_in:
      break;
  }
  // A bridged transmitter leaves only the supply to limit the current: beyond full scale.
  return is_current_loop(p)
             ? static_cast<double>(hal::analog_span(hal::AnalogIn::oxygen_loop).at_full)
             : 0.0;
}

/// The output function of SplitMix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number
/// generators", OOPSLA 2014).
constexpr std::uint64_t mix(std::uint64_t z) {
  z += 0x9E3779B97F4A7C15U;
  z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
  z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
  return z ^ (z >> 31U);
}

/// Uniform in [-1, 1), a function of its arguments only.
double white(std::uint64_t seed, Point point, VirtualMs instant) {
  const std::uint64_t bits = mix(mix(seed ^ mix(point.index())) ^ instant);
  return static_cast<double>(bits >> 11U) * 0x1p-52 - 1.0;
}

bool must_see_each_ms(const SignalFault& fault) {
  switch (kind(fault.effect)) {
    case FaultKind::delay:
    case FaultKind::bounce:
    case FaultKind::crossed_with:  // follows another contact
      return true;
    case FaultKind::intermittent:
      return fault.point.point_class() == PointClass::digital_in;  // its filter sees every ms
    default:
      return false;
  }
}

}  // namespace

FaultId Wiring::inject(const SignalFault& fault) {
  Entry entry{.fault = fault, .id = FaultId{++last_id_}, .history = {}};
  if (const auto* d = std::get_if<Delay>(&fault.effect)) {
    entry.history.resize(std::size_t{d->by_ms} + 1);
  }
  const auto later = [](const Entry& a, const Entry& b) {
    return a.fault.effect.index() < b.fault.effect.index();
  };
  const FaultId id = entry.id;
  faults_.insert(std::upper_bound(faults_.begin(), faults_.end(), entry, later), std::move(entry));
  return id;
}

bool Wiring::clear(FaultId id) {
  return std::erase_if(faults_, [id](const Entry& e) { return e.id == id; }) != 0;
}

void Wiring::forget_frozen_outputs() {
  for (Entry& e : faults_) {
    const PointClass of = e.fault.point.point_class();
    if (of != PointClass::digital_out && of != PointClass::heater) continue;
    if (kind(e.fault.effect) == FaultKind::frozen && e.started) e.held = 0.0;
  }
}

void Wiring::forget_ended(VirtualMs now) {
  std::erase_if(faults_, [now](const Entry& e) { return e.fault.end_ms <= now; });
}

Wiring::Active Wiring::active_at(VirtualMs instant) const {
  Active active;
  for (const Entry& e : faults_) {
    if (e.fault.onset_ms > instant)
      active.same_until = std::min(active.same_until, e.fault.onset_ms);
    if (!e.active(instant)) continue;
    active.same_until = std::min(active.same_until, e.fault.end_ms);
    active.any |= bit(e.fault.point);
    if (must_see_each_ms(e.fault)) active.each_ms |= bit(e.fault.point);
  }
  return active;
}

double Wiring::carry(Point point, double signal, VirtualMs instant, std::uint32_t contacts) {
  for (Entry& e : faults_) {
    if (e.fault.point == point && e.active(instant)) signal = e.carry(signal, instant, contacts);
  }
  return signal;
}

double Wiring::Entry::carry(double signal, VirtualMs instant, std::uint32_t contacts) {
  const Effect& effect = fault.effect;
  switch (kind(effect)) {
    case FaultKind::delay:
      return delay(*std::get_if<Delay>(&effect), signal, instant);
    case FaultKind::bounce:
      return bounce(*std::get_if<Bounce>(&effect), signal, instant);
    case FaultKind::gain:
      return signal * std::get_if<Gain>(&effect)->factor;
    case FaultKind::offset:
      return signal + std::get_if<Offset>(&effect)->by;
    case FaultKind::drift:
      return signal + std::get_if<Drift>(&effect)->per_hour *
                          (static_cast<double>(instant - fault.onset_ms) / ms_per_hour);
    case FaultKind::noise: {
      const auto& noise = *std::get_if<Noise>(&effect);
      return signal + noise.amplitude * white(noise.seed, fault.point, instant);
    }
    case FaultKind::frozen:
      return freeze(signal);
    case FaultKind::stuck_at:
      return std::get_if<StuckAt>(&effect)->value;
    case FaultKind::crossed_with: {
      const auto other = static_cast<unsigned>(std::get_if<CrossedWith>(&effect)->other);
      return std::max(signal, static_cast<double>(contacts >> other & 1U));
    }
    case FaultKind::short_circuit:
      return short_signal(fault.point);
    case FaultKind::intermittent: {
      const auto& loose = *std::get_if<Intermittent>(&effect);
      const bool open = (instant - fault.onset_ms) % loose.period_ms < loose.open_ms;
      return open ? open_signal(fault.point) : signal;
    }
    case FaultKind::open:
      return open_signal(fault.point);
    case FaultKind::count:
      break;
  }
  return signal;
}

double Wiring::Entry::freeze(double signal) {
  if (!started) {
    started = true;
    held = signal;
  }
  return held;
}

double Wiring::Entry::bounce(const Bounce& b, double signal, VirtualMs instant) {
  if (!started) {
    started = true;
    held = signal;
  } else if (signal != held) {
    held = signal;
    since_ms = instant;
    changed = true;
  }
  const VirtualMs since = instant - since_ms;
  if (!changed || since >= b.duration_ms) return signal;
  return since / (b.period_ms / 2) % 2 == 0 ? signal : 1.0 - signal;
}

double Wiring::Entry::delay(const Delay& d, double signal, VirtualMs instant) {
  if (!started) {
    started = true;
    since_ms = instant;
  }
  history[instant % history.size()] = signal;
  const VirtualMs wanted = instant - std::min<VirtualMs>(instant - since_ms, d.by_ms);
  return history[wanted % history.size()];
}

}  // namespace ovenproof::mock

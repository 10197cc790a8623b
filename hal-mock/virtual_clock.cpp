#include "hal-mock/virtual_clock.hpp"

#include <algorithm>

namespace ovenproof::mock {
namespace {

constexpr std::uint32_t million = 1'000'000;

bool active(const ClockFault& f, VirtualMs t) { return f.onset_ms <= t && t < f.end_ms; }

/// Adds a signed step; the counter wraps either way.
std::uint32_t jumped(std::uint32_t reading, const ClockJump& jump) {
  return reading + static_cast<std::uint32_t>(jump.by_ms);
}

}  // namespace

std::string_view refusal(const ClockFault& fault) {
  if (fault.onset_ms >= fault.end_ms) return "the fault must end after its onset";
  if (const auto* jump = std::get_if<ClockJump>(&fault.effect)) {
    return jump->by_ms != 0 ? "" : "the jump must not be 0";
  }
  if (const auto* drift = std::get_if<ClockDrift>(&fault.effect)) {
    return drift->ppm >= -999'999 && drift->ppm <= 1'000'000 && drift->ppm != 0
               ? ""
               : "the drift must be -999999 to 1000000 ppm and not 0";
  }
  return "";
}

void VirtualClock::restart() {
  reading_ = at_start_;
  millionths_ = 0;
}

std::string_view VirtualClock::inject(const ClockFault& fault, VirtualMs now) {
  if (const auto reason = refusal(fault); !reason.empty()) return reason;
  const auto* jump = std::get_if<ClockJump>(&fault.effect);
  if (jump != nullptr && fault.onset_ms <= now) {
    reading_ = jumped(reading_, *jump);
    return "";
  }
  std::erase_if(faults_, [now](const ClockFault& f) {
    return f.end_ms <= now || (std::holds_alternative<ClockJump>(f.effect) && f.onset_ms <= now);
  });
  if (faults_.size() == max_faults) return "there are 64 clock faults already: clear some first";
  faults_.push_back(fault);
  return "";
}

void VirtualClock::advance_faulty(VirtualMs from, std::uint32_t ms) {
  for (VirtualMs t = from + 1; t <= from + ms; ++t) {
    std::int64_t rate = million;
    for (const ClockFault& f : faults_) {
      if (const auto* jump = std::get_if<ClockJump>(&f.effect)) {
        if (f.onset_ms == t) reading_ = jumped(reading_, *jump);
      } else if (active(f, t)) {
        const auto* drift = std::get_if<ClockDrift>(&f.effect);
        rate = drift != nullptr ? rate + drift->ppm : 0;
        if (drift == nullptr) break;
      }
    }
    const auto gained = millionths_ + static_cast<std::uint64_t>(std::max<std::int64_t>(rate, 0));
    reading_ += static_cast<std::uint32_t>(gained / million);
    millionths_ = static_cast<std::uint32_t>(gained % million);
  }
}

}  // namespace ovenproof::mock

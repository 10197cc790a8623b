#include "firmware/control/clock_check.hpp"

#include "firmware/control/accumulate.hpp"

namespace ovenproof::control {

void ClockCheck::update(std::uint16_t conversion, Milliseconds dt, const settings::Scan& settings) {
  const auto more = static_cast<std::uint16_t>(conversion - last_);
  last_ = conversion;
  elapsed_ = saturating_sum(elapsed_, dt);
  still_for_ = more == 0 ? saturating_sum(still_for_, dt) : Milliseconds{};
  // A window begins with a conversion, so that it ends with one.
  if (!started_ || still_for_ > settings.converter_stale) {
    started_ = more != 0;
    conversions_ = 0;
    elapsed_ = Milliseconds{};
    return;
  }
  conversions_ += more;
  if (conversions_ < window) return;
  const float by_converter =
      static_cast<float>(conversions_) * static_cast<float>(settings.conversion_period.value);
  const float apart = static_cast<float>(elapsed_.value) - by_converter;
  const float allowed = by_converter * settings.clock_tolerance.value;
  differs_ = apart > allowed || apart < -allowed;
  conversions_ = 0;
  elapsed_ = Milliseconds{};
}

}  // namespace ovenproof::control

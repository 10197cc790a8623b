#pragma once
#include "firmware/math/units.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::control {

/// Counts chamber volumes of proven purge flow.
///
/// One volume is `chamber_volume_L` of gas at 0 degC and 101.325 kPa. A chamber at any higher
/// temperature holds less gas than that, so the count errs towards more purging.
class PurgeCounter {
 public:
  /// One scan. Counts while `counting` is commanded and `flow_proven`; otherwise starts again from
  /// zero. The time since the last update counts only if flow was proven at both its ends.
  void update(bool counting, bool flow_proven, Milliseconds dt);

  /// How long flow has been proven without a break.
  [[nodiscard]] Milliseconds proven_time() const { return proven_; }
  /// Chamber volumes counted, by the flow that the switch proves.
  [[nodiscard]] float volumes(const settings::Purge& settings) const;
  /// At least the minimum number of volumes has been counted.
  [[nodiscard]] bool complete(const settings::Purge& settings) const;

  friend bool operator==(const PurgeCounter&, const PurgeCounter&) = default;

 private:
  bool running_ = false;
  Milliseconds proven_{};
};

}  // namespace ovenproof::control

#include "hal-mock/board.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <stdexcept>
#include <string>

#include "hal-mock/converter.hpp"

namespace ovenproof::mock {
namespace {

using PointSet = Wiring::PointSet;

constexpr std::uint32_t all_contacts = (1U << hal::digital_in_count) - 1U;
constexpr std::uint32_t all_coils = (1U << hal::digital_out_count) - 1U;
constexpr PointSet contact_points = all_contacts;
constexpr PointSet analog_points = ((PointSet{1} << hal::analog_in_count) - 1)
                                   << Point::first_analog_in;
constexpr PointSet input_points = contact_points | analog_points;
constexpr PointSet output_points = ((PointSet{1} << Point::count) - 1) & ~input_points;

/// Calls `act(point)` for each point of the set, in rising order.
template <class Act>
void for_each_point(PointSet points, Act act) {
  for (; points != 0; points &= points - 1) {
    act(*Point::at(static_cast<std::size_t>(std::countr_zero(points))));
  }
}

std::uint32_t bit_in_class(Point p) { return 1U << p.index_in_class(); }
std::uint32_t with_bit(std::uint32_t bits, std::uint32_t bit, bool on) {
  return on ? bits | bit : bits & ~bit;
}

void demand(bool holds, const char* message) {
  if (!holds) throw std::invalid_argument(message);
}

}  // namespace

Board::Board(const BoardOptions& options)
    : options_(options), filter_(options.input_filter_ms), clock_(options.clock_at_start_ms) {
  demand(options.conversion_period_ms >= 1 && options.conversion_period_ms <= 60'000,
         "conversion_period_ms must be 1 to 60000");
  demand(options.input_filter_ms <= 1000, "input_filter_ms must be 0 to 1000");
  demand(options.watchdog_timeout_ms >= 1 && options.watchdog_timeout_ms <= 60'000,
         "watchdog_timeout_ms must be 1 to 60000");
}

// ---- towards the controller

bool Board::refuse_call() {
  if (running()) return false;
  ++ignored_calls_;
  return true;
}

hal::InputImage Board::read_inputs() { return refuse_call() ? hal::InputImage{} : input_image(); }

void Board::write_outputs(const hal::OutputImage& outputs) {
  if (refuse_call()) return;
  commanded_ = outputs;
  if ((outputs.coils & ~all_coils) != 0) {
    ++violations_.unknown_coils;
    commanded_.coils &= all_coils;
  }
  if (outputs.heater_permille > 1000) {
    ++violations_.heater_over_range;
    commanded_.heater_permille = 0;
  }
  drive(t_);
}

Milliseconds Board::now() { return refuse_call() ? Milliseconds() : clock_.now(); }

bool Board::store_read(std::size_t offset, std::span<std::byte> into) {
  if (refuse_call()) return false;
  if (!NonVolatileStore::in_range(offset, into.size())) ++violations_.store_range;
  return store_.read(offset, into);
}

bool Board::store_write(std::size_t offset, std::span<const std::byte> from) {
  if (refuse_call()) return false;
  if (!NonVolatileStore::in_range(offset, from.size())) ++violations_.store_range;
  const auto written = store_.write(offset, from);
  if (written == NonVolatileStore::Written::torn) power_off();
  return written == NonVolatileStore::Written::whole;
}

void Board::kick_watchdog() {
  if (!refuse_call()) bite_at_ = t_ + options_.watchdog_timeout_ms;
}

hal::ResetCause Board::reset_cause() {
  return refuse_call() ? hal::ResetCause::power_up : reset_cause_;
}

// ---- towards the field

void Board::present(const FieldInputs& field) {
  for (const double value : field.analog) demand(!std::isnan(value), "the field presents a NaN");
  field_ = field;
  field_.contacts &= all_contacts;
}

double Board::carry_field(Point point, VirtualMs instant) {
  const std::size_t n = point.index_in_class();
  const double signal = point.point_class() == PointClass::analog_in
                            ? field_.analog[n]
                            : static_cast<double>(field_.contacts >> n & 1U);
  return wiring_.carry(point, signal, instant, field_.contacts);
}

double Board::carry_command(Point point, VirtualMs instant) {
  const double signal = point == Point::heater()
                            ? static_cast<double>(commanded_.heater_permille)
                            : static_cast<double>(commanded_.coils >> point.index_in_class() & 1U);
  return wiring_.carry(point, signal, instant);
}

void Board::drive(VirtualMs instant) {
  driven_ = {commanded_.coils, static_cast<double>(commanded_.heater_permille)};
  for_each_point(faults_.any & output_points, [&](Point p) {
    const double signal = carry_command(p, instant);
    if (p == Point::heater()) {
      driven_.heater_permille = std::clamp(signal, 0.0, 1000.0);
    } else {
      driven_.coils = with_bit(driven_.coils, bit_in_class(p), signal != 0.0);
    }
  });
  if (!powered_) driven_ = {};
}

// ---- time

void Board::advance(std::uint32_t ms) {
  while (ms > 0) {
    if (t_ + 1 >= faults_.same_until) refresh_wiring(t_ + 1);
    // The longest stretch within which nothing begins, ends or falls due before its last ms.
    VirtualMs step = std::min<VirtualMs>(ms, faults_.same_until - (t_ + 1));
    if (powered_) step = std::min(step, next_conversion_ - t_);
    if (running()) step = std::min(step, bite_at_ - t_);

    const VirtualMs from = t_;
    const auto length = static_cast<std::uint32_t>(step);
    t_ += step;
    ms -= length;
    pass_inputs(from, length);
    clock_.advance(from, length);
    // Before the watchdog bites: until then the wires carried what was commanded before.
    if ((faults_.any & output_points) != 0) pass_outputs(from);
    if (powered_ && t_ == next_conversion_) convert();
    if (running() && t_ == bite_at_) bite();
  }
}

void Board::refresh_wiring(VirtualMs instant) {
  faults_ = wiring_.active_at(instant);
  forced_mask_ = 0;
  forced_levels_ = 0;
  // What happens to a signal at the onset of a fault is settled now, whether or not anything
  // looks at the signal in this ms.
  for_each_point(faults_.any & input_points, [&](Point p) {
    const double signal = carry_field(p, instant);
    if (p.point_class() == PointClass::analog_in || (faults_.each_ms & Wiring::bit(p)) != 0) return;
    forced_mask_ |= bit_in_class(p);
    forced_levels_ = with_bit(forced_levels_, bit_in_class(p), signal != 0.0);
  });
  drive(instant);
}

void Board::pass_inputs(VirtualMs from, std::uint32_t ms) {
  const PointSet each_ms = faults_.each_ms & input_points;
  const auto moving = static_cast<std::uint32_t>(each_ms & contact_points);
  if (each_ms != 0) {
    for (VirtualMs t = from + 1; t <= from + ms; ++t) {
      std::uint32_t levels = 0;
      for_each_point(each_ms, [&](Point p) {
        const double signal = carry_field(p, t);
        if (p.point_class() == PointClass::digital_in) {
          levels = with_bit(levels, bit_in_class(p), signal != 0.0);
        }
      });
      if (powered_) filter_.advance(levels, moving, 1);
    }
  }
  if (powered_) filter_.advance(terminal_contacts(), all_contacts & ~moving, ms);
}

void Board::pass_outputs(VirtualMs from) {
  const PointSet each_ms = faults_.each_ms & output_points;
  for (VirtualMs t = from + 1; each_ms != 0 && t < t_; ++t) {
    for_each_point(each_ms, [&](Point p) { carry_command(p, t); });
  }
  drive(t_);
}

void Board::convert() {
  next_conversion_ = t_ + options_.conversion_period_ms;
  if (converter_stops_at_ <= t_ && t_ < converter_goes_on_at_) return;
  for (std::size_t i = 0; i < hal::analog_in_count; ++i) {
    const auto input = static_cast<hal::AnalogIn>(i);
    const bool faulty = (faults_.any & Wiring::bit(input)) != 0;
    image_.counts[i] = counts_of(input, faulty ? carry_field(input, t_) : field_.analog[i]);
  }
  ++image_.conversion;
}

void Board::bite() {
  restart_requested_ = true;
  commanded_ = {};
  drive(t_);
}

// ---- power

void Board::power_off() {
  powered_ = false;
  wiring_.forget_frozen_outputs();
  restart_requested_ = false;
  commanded_ = {};
  image_ = {};
  drive(t_);
}

void Board::power_on() {
  if (powered_) return;
  powered_ = true;
  std::uint32_t levels = terminal_contacts();
  for_each_point(faults_.each_ms & contact_points, [&](Point p) {
    levels = with_bit(levels, bit_in_class(p), carry_field(p, t_) != 0.0);
  });
  filter_.settle(levels);
  convert();
  start_processor(hal::ResetCause::power_up);
}

void Board::restart() {
  if (restart_requested_) start_processor(hal::ResetCause::watchdog);
}

void Board::start_processor(hal::ResetCause cause) {
  restart_requested_ = false;
  reset_cause_ = cause;
  commanded_ = {};
  clock_.restart();
  bite_at_ = t_ + options_.watchdog_timeout_ms;
  drive(t_);
}

// ---- faults

Injected Board::inject(const SignalFault& fault) {
  if (const auto reason = refusal(fault); !reason.empty()) return {std::nullopt, reason};
  wiring_.forget_ended(t_);
  if (wiring_.size() == Wiring::max_faults) {
    return {std::nullopt, "there are 64 signal faults already: clear some first"};
  }
  const FaultId id = wiring_.inject(fault);
  refresh_wiring(t_);
  return {id, ""};
}

bool Board::clear(FaultId id) {
  const bool found = wiring_.clear(id);
  refresh_wiring(t_);
  return found;
}

void Board::clear_signal_faults() {
  wiring_.clear_all();
  refresh_wiring(t_);
}

}  // namespace ovenproof::mock

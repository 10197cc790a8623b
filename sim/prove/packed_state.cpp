#include "sim/prove/packed_state.hpp"

#include <cassert>

#include "firmware/logic/decisions.hpp"

namespace ovenproof::prove {
namespace {

using namespace logic;

/// Takes fields one after the other from the low end up.
class Writer {
 public:
  void put(std::uint64_t value, unsigned width) {
    bits_ |= value << at_;
    at_ += width;
  }
  [[nodiscard]] std::uint64_t bits() const { return bits_; }
  [[nodiscard]] unsigned at() const { return at_; }

 private:
  std::uint64_t bits_ = 0;
  unsigned at_ = 0;
};

class Reader {
 public:
  explicit Reader(std::uint64_t bits) : bits_(bits) {}
  std::uint64_t get(unsigned width) {
    const std::uint64_t value = bits_ & ((std::uint64_t{1} << width) - 1);
    bits_ >>= width;
    return value;
  }
  bool flag() { return get(1) != 0; }

 private:
  std::uint64_t bits_;
};

constexpr unsigned phase_bits = 4;
constexpr unsigned cause_bits = 6;
constexpr unsigned first_out_at = 19;
static_assert(phase_count <= 1U << phase_bits);
static_assert(cause_count < 1U << cause_bits, "one more than the causes: none");
// Whoever adds to the memory must pack it: this is what was there when packing was written.
static_assert(sizeof(Memory) == 12);
static_assert(sizeof(Places) == 4);

}  // namespace

std::uint64_t pack(const LogicState& state) {
  const Memory& m = state.memory;
  Writer w;
  w.put(static_cast<std::uint64_t>(state.places.phase), phase_bits);
  w.put(static_cast<std::uint64_t>(state.places.gas), 2);
  w.put(static_cast<std::uint64_t>(state.places.fan), 2);
  w.put(static_cast<std::uint64_t>(state.places.jacket), 2);
  w.put(m.start.off_seen(), 1);
  w.put(m.reset.off_seen(), 1);
  w.put(m.door.off_seen(), 1);
  w.put(m.armed, 1);
  w.put(m.ended_normally, 1);
  w.put(m.gate_met, 1);
  w.put(m.blanket, 1);
  w.put(m.repurges, 2);
  assert(w.at() == first_out_at);
  w.put(static_cast<std::uint64_t>(m.first_out), cause_bits);
  w.put(m.latched.bits(), 8);
  w.put(m.energised.bits(), 8);
  w.put(m.withheld.bits(), 8);
  return w.bits();
}

LogicState unpack(std::uint64_t bits) {
  Reader r(bits);
  LogicState state;
  state.places.phase = static_cast<Phase>(r.get(phase_bits));
  state.places.gas = static_cast<GasPath>(r.get(2));
  state.places.fan = static_cast<FanState>(r.get(2));
  state.places.jacket = static_cast<JacketState>(r.get(2));
  Memory& m = state.memory;
  m.start = Edge::of(r.flag());
  m.reset = Edge::of(r.flag());
  m.door = Edge::of(r.flag());
  m.armed = r.flag();
  m.ended_normally = r.flag();
  m.gate_met = r.flag();
  m.blanket = r.flag();
  m.repurges = static_cast<std::uint8_t>(r.get(2));
  m.first_out = static_cast<Cause>(r.get(cause_bits));
  m.latched = OutputSet::of_bits(static_cast<std::uint8_t>(r.get(8)));
  m.energised = OutputSet::of_bits(static_cast<std::uint8_t>(r.get(8)));
  m.withheld = OutputSet::of_bits(static_cast<std::uint8_t>(r.get(8)));
  return state;
}

Cause representative(Cause first_out) {
  if (first_out == Cause::none) return Cause::none;
  return temperature_in_doubt(first_out) ? Cause::limiter_tripped : Cause::power_up;
}

Cause another_like(Cause first_out) {
  const Cause one = representative(first_out);
  if (one == Cause::none || first_out != one) return one;
  return temperature_in_doubt(one) ? Cause::temperature_invalid : Cause::k1_welded;
}

std::uint64_t with_representative(std::uint64_t bits) {
  constexpr std::uint64_t mask = (std::uint64_t{1} << cause_bits) - 1;
  const auto first_out = static_cast<Cause>(bits >> first_out_at & mask);
  return (bits & ~(mask << first_out_at)) | static_cast<std::uint64_t>(representative(first_out))
                                                << first_out_at;
}

}  // namespace ovenproof::prove

#include "point.hpp"

#include "sim/prove/packed_state.hpp"

namespace ovenproof::defects {

using namespace logic;

std::size_t HashPoint::operator()(const Point& p) const {
  const Commands& c = p.progress.commands;
  const std::uint64_t flags =
      (c.programme_restart ? 1U : 0U) | (c.programme_advance ? 2U : 0U) |
      (c.acknowledge ? 4U : 0U) | (c.count_purge ? 8U : 0U) |
      (p.progress.edges.start ? 1U : 0U) << 12U | (p.progress.edges.reset ? 1U : 0U) << 13U |
      (p.progress.edges.door_closed ? 1U : 0U) << 14U |
      static_cast<std::uint64_t>(p.progress.next) << 4U |
      static_cast<std::uint64_t>(c.phase) << 8U | std::uint64_t{c.timers} << 16U;
  return prove::hash_of({prove::pack(p.state), p.progress.trips ^ flags << 20U ^ flags >> 44U});
}

Point begun(Logic& logic, const LogicState& state) {
  logic.resume(state);
  return {logic.state(), logic.begin()};
}

Point stepped(Logic& logic, const Point& from, prove::Adversary& adversary) {
  logic.resume(from.state);
  Point to;
  to.progress = from.progress;
  logic.step(to.progress, adversary.facts());
  to.state = logic.state();
  return to;
}

}  // namespace ovenproof::defects

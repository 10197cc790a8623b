#include <utility>

#include "sim/properties/engine.hpp"

namespace ovenproof::properties {

void Engine::verdict(NodeId id, const Node& node) {
  const std::uint32_t label = scan_ - node.delay;
  if (label >= end_) return;  // the run has no such scan
  ClockState& state = clocks_[node.slot];
  const Key f = node.flip;
  const Value before = values_[id];
  const Value& operand = values_[node.a];
  switch (node.op) {
    case Op::worst:
      if ((operand.key ^ f) < (before.key ^ f)) {
        values_[id] = operand;
        state.anchor = label;
      }
      break;
    case Op::until_end: {
      const Value& hold = values_[node.b];
      const Value& reached = (operand.key ^ f) < (state.second.key ^ f) ? operand : state.second;
      if ((reached.key ^ f) > (before.key ^ f)) {
        values_[id] = reached;
        state.anchor = label;
      }
      if ((hold.key ^ f) < (state.second.key ^ f)) {
        if ((state.second.key >= 0) != (hold.key >= 0)) attention_ = true;
        state.second = hold;
      }
      break;
    }
    case Op::at_start:
      if (label != 0) return;
      values_[id] = operand;
      attention_ = true;
      break;
    case Op::at_end:
      values_[id] = operand;
      state.anchor = label;
      return;
    case Op::stretch: {
      const bool broken = (operand.key ^ f) < 0;
      if (broken && state.since < 0) {
        state.since = label;
        state.second = operand;
        attention_ = true;
      } else if (!broken && state.since >= 0) {
        const std::int64_t length = static_cast<std::int64_t>(label) - state.since;
        if (length > state.longest) {
          state.longest = length;
          state.anchor = static_cast<std::uint32_t>(state.since);
          values_[id] = state.second;
        }
        state.since = -1;
      }
      return;
    }
    default:
      respond(id, node, label);
      break;
  }
  if ((before.key >= 0) != (values_[id].key >= 0)) attention_ = true;
}

void Engine::respond(NodeId id, const Node& node, std::uint32_t label) {
  ClockState& state = clocks_[node.slot];
  const Key f = node.flip;
  const auto now = static_cast<std::int64_t>(label);
  const bool event = (values_[node.a].key ^ f) < 0;
  const bool response = (values_[node.b].key ^ f) >= 0;
  if (event && state.since < 0) {
    state.since = now;
    state.begun = false;  // not overdue yet
  }
  if (state.since < 0) return;
  if (response) {
    const std::int64_t margin_ns = node.limit_ns - (now - state.since) * program_->period_ns;
    const Key key = make_key(static_cast<double>(margin_ns) / node.unit_ns, margin_ns >= 0);
    if (key < (values_[id].key ^ f)) {
      values_[id] = {key ^ f, id, label};
      state.anchor = static_cast<std::uint32_t>(state.since);
    }
    state.since = -1;
    return;
  }
  if (now - state.since < node.width) {
    wake(id, static_cast<std::int64_t>(scan_) + node.width - (now - state.since));
  } else if (!state.begun) {
    state.begun = true;
    attention_ = true;
  }
}

Engine::Judged Engine::leaf_judged(NodeId id, Key later) const {
  const Node& node = program_->nodes[id];
  const ClockState& state = clocks_[node.slot];
  const Key f = node.flip;
  const auto end = static_cast<std::int64_t>(std::min(scan_, end_));
  Judged result{values_[id], state.anchor, false};
  if (node.op == Op::stretch) {
    std::int64_t length = state.longest;
    if (state.since >= 0 && end - state.since > length) {
      length = end - state.since;
      result.value = state.second;
      result.anchor = static_cast<std::uint32_t>(state.since);
    }
    const auto ns = static_cast<double>(length * program_->period_ns);
    result.value.key = (length == 0 ? certain : make_key(-ns / node.unit_ns, false)) ^ f;
  } else if (node.op == Op::respond && state.since >= 0) {
    // The response has not come. It might in the scan after the last, or never.
    const std::int64_t margin_ns = node.limit_ns - (end - state.since) * program_->period_ns;
    const bool overdue = end - 1 - state.since >= node.width;
    Key open = ~certain;
    if ((later ^ f) >= 0) {
      open = make_key(static_cast<double>(margin_ns) / node.unit_ns, margin_ns >= 0);
      if (overdue && open >= 0) open = -1;
    }
    if (open < (result.value.key ^ f)) {
      result = {{open ^ f, id, static_cast<std::uint32_t>(end)},
                static_cast<std::uint32_t>(state.since),
                true};
    }
  }
  return result;
}

Engine::Judged Engine::judged(std::uint32_t index, Key later) const {
  const Judgement& judgement = program_->judgements[index];
  if (judgement.kind == Judgement::Kind::leaf) return leaf_judged(judgement.node, later);
  const Key f = judgement.kind == Judgement::Kind::all ? -1 : 0;
  Judged best = judged(judgement.parts[0], later);
  for (std::size_t i = 1; i < judgement.parts.size(); ++i) {
    const Judged next = judged(judgement.parts[i], later);
    if ((next.value.key ^ f) > (best.value.key ^ f)) best = next;
  }
  return best;
}

std::optional<bool> Engine::leaf_settled(NodeId id) const {
  const Node& node = program_->nodes[id];
  const ClockState& state = clocks_[node.slot];
  const Key f = node.flip;
  const Key key = values_[id].key ^ f;
  const bool positive = f == 0;
  switch (node.op) {
    case Op::worst:
      if (key < 0) return !positive;
      return std::nullopt;
    case Op::until_end:
      if (key >= 0) return positive;
      if ((state.second.key ^ f) < 0) return !positive;
      return std::nullopt;
    case Op::at_start:
      if (scan_ > node.delay) return values_[id].key >= 0;
      return std::nullopt;
    case Op::stretch:
      if (state.longest > 0 || state.since >= 0) return !positive;
      return std::nullopt;
    case Op::respond:
      if (key < 0 || (state.since >= 0 && state.begun)) return !positive;
      return std::nullopt;
    default:
      return std::nullopt;
  }
}

std::optional<bool> Engine::settled(std::uint32_t index) const {
  const Judgement& judgement = program_->judgements[index];
  if (judgement.kind == Judgement::Kind::leaf) return leaf_settled(judgement.node);
  const bool any = judgement.kind == Judgement::Kind::any;
  std::optional<bool> result = !any;
  for (const std::uint32_t part : judgement.parts) {
    const std::optional<bool> truth = settled(part);
    if (truth == any) return any;
    if (!truth) result = std::nullopt;
  }
  return result;
}

}  // namespace ovenproof::properties

#include "monitor_semantics.hpp"

#include <algorithm>
#include <cmath>

namespace ovenproof::properties::reference {
namespace {

constexpr int period_ms = 10;
constexpr Distance yes{infinity, true};
constexpr Distance no{-infinity, false};

Distance truth(bool value) { return value ? yes : no; }
Bounds exactly(Distance d) { return {d, d}; }
Distance negated(Distance d) { return {-d.first, !d.second}; }
Bounds negated(Bounds b) { return {negated(b.high), negated(b.low)}; }
Bounds least(Bounds a, Bounds b) { return {std::min(a.low, b.low), std::min(a.high, b.high)}; }
Bounds best(Bounds a, Bounds b) { return {std::max(a.low, b.low), std::max(a.high, b.high)}; }

double left_side(const Scan& scan, int number) {
  switch (number) {
    case 0:
      return scan.x;
    case 1:
      return scan.y;
    case 2:
      return scan.z;
    case 3:
      return scan.x - scan.y;
    case 4:
      return std::fabs(scan.x) + scan.y;
    default:
      return std::min(scan.x, scan.y);
  }
}

Quantity quantity_of(const Formula& f) { return f.number == 2 ? Quantity::Pa : Quantity::ppm; }

Distance compare(const Formula& f, const Scan& scan, Quantity quantity) {
  const double v = left_side(scan, f.number);
  const double c = f.limit;
  Distance d;
  switch (f.relation) {
    case 0:
      d = {c - v, v < c};
      break;
    case 1:
      d = {c - v, v <= c};
      break;
    case 2:
      d = {v - c, v > c};
      break;
    case 3:
      d = {v - c, v >= c};
      break;
    case 4:
      d = {-std::fabs(v - c), v == c};
      break;
    default:
      d = {std::fabs(v - c), v != c};
      break;
  }
  return quantity_of(f) == quantity ? d : truth(d.second);
}

/// Whether a distance in ms is told inside the condition.
bool tells_time(const Formula& f) {
  if (f.kind == Kind::held_for || (f.kind == Kind::once && f.bounded && f.from == 0)) return true;
  return std::any_of(f.parts.begin(), f.parts.end(), tells_time);
}

/// How long P has held at t, less the limit; by truths[i] of scan i.
Distance held_ms(const std::vector<bool>& truths, int t, int limit) {
  if (!truths[static_cast<std::size_t>(t)]) return {-1.0 * limit * period_ms, false};
  int begin = t;
  while (begin > 0 && truths[static_cast<std::size_t>(begin) - 1]) --begin;
  return {(t - begin - limit) * period_ms, t - begin >= limit};
}

/// The limit less how long ago P was last true.
Distance recent_ms(const std::vector<bool>& truths, int t, int limit) {
  for (int last = t; last >= 0; --last) {
    if (truths[static_cast<std::size_t>(last)]) {
      return {(limit - (t - last)) * period_ms, t - last <= limit};
    }
  }
  return no;
}

Bounds timed(const Formula& f, const Run& run, int t) {
  std::vector<bool> low;
  std::vector<bool> high;
  for (int i = 0; i <= t; ++i) {
    const Bounds b = evaluate(f.parts[0], run, i, Quantity::Pa);
    low.push_back(b.low.second);
    high.push_back(b.high.second);
  }
  const auto measure = f.kind == Kind::held_for ? held_ms : recent_ms;
  return {measure(low, t, f.to), measure(high, t, f.to)};
}

}  // namespace

Bounds evaluate(const Formula& f, const Run& run, int t, Quantity quantity) {
  const int end = static_cast<int>(run.size());
  const auto part = [&](std::size_t i, int at) { return evaluate(f.parts[i], run, at, quantity); };
  const bool leaf = f.kind <= Kind::changes;
  if (leaf && t >= end) return {no, yes};
  switch (f.kind) {
    case Kind::boolean: {
      const Scan& scan = run[static_cast<std::size_t>(t)];
      return exactly(truth(f.number == 0 ? scan.p : f.number == 1 ? scan.q : scan.r));
    }
    case Kind::state_is:
      return exactly(truth((run[static_cast<std::size_t>(t)].s == f.number) == (f.relation == 0)));
    case Kind::compare:
      return exactly(compare(f, run[static_cast<std::size_t>(t)], quantity));
    case Kind::changes: {
      if (t == 0) return exactly(no);
      const Scan& now = run[static_cast<std::size_t>(t)];
      const Scan& before = run[static_cast<std::size_t>(t) - 1];
      return exactly(truth(f.number == 0   ? now.p != before.p
                           : f.number == 1 ? now.s != before.s
                                           : now.x != before.x));
    }
    case Kind::negation:
      return negated(part(0, t));
    case Kind::conjunction:
    case Kind::disjunction: {
      Bounds result = part(0, t);
      for (std::size_t i = 1; i < f.parts.size(); ++i) {
        result = f.kind == Kind::conjunction ? least(result, part(i, t)) : best(result, part(i, t));
      }
      return result;
    }
    case Kind::implication:
      return best(negated(part(0, t)), part(1, t));
    case Kind::rises:
    case Kind::falls: {
      if (t == 0) return exactly(no);
      const Bounds now = f.kind == Kind::rises ? part(0, t) : negated(part(0, t));
      const Bounds before = f.kind == Kind::rises ? part(0, t - 1) : negated(part(0, t - 1));
      return least(now, negated(before));
    }
    case Kind::always:
    case Kind::eventually: {
      Bounds result = part(0, t + f.from);
      for (int i = t + f.from + 1; i <= t + f.to; ++i) {
        result = f.kind == Kind::always ? least(result, part(0, i)) : best(result, part(0, i));
      }
      return result;
    }
    case Kind::until: {
      // Some scan of the window has Q, and every scan before it has P.
      Bounds result = exactly(no);
      for (int goal = t + f.from; goal <= t + f.to; ++goal) {
        Bounds reached = part(1, goal);
        for (int i = t; i < goal; ++i) reached = least(reached, part(0, i));
        result = best(result, reached);
      }
      return result;
    }
    case Kind::once:
    case Kind::historically: {
      if (f.kind == Kind::once && f.bounded && f.from == 0 && quantity == Quantity::ms) {
        return timed(f, run, t);
      }
      const bool all = f.kind == Kind::historically;
      Bounds result = exactly(all ? yes : no);
      for (int i = f.bounded ? std::max(0, t - f.to) : 0; i <= t - f.from; ++i) {
        result = all ? least(result, part(0, i)) : best(result, part(0, i));
      }
      return result;
    }
    case Kind::since: {
      Bounds result = exactly(no);
      for (int goal = f.bounded ? std::max(0, t - f.to) : 0; goal <= t - f.from; ++goal) {
        Bounds reached = part(1, goal);
        for (int i = goal + 1; i <= t; ++i) reached = least(reached, part(0, i));
        result = best(result, reached);
      }
      return result;
    }
    case Kind::held_for: {
      if (quantity == Quantity::ms) return timed(f, run, t);
      if (t < f.to) return exactly(no);
      Bounds result = part(0, t);
      for (int i = t - f.to; i < t; ++i) result = least(result, part(0, i));
      return result;
    }
    default:
      return exactly(no);
  }
}

namespace {

/// The longest time on end for which the condition was not so.
Distance longest_break(const std::vector<bool>& truths) {
  int longest = 0;
  int current = 0;
  for (const bool value : truths) {
    current = value ? 0 : current + 1;
    longest = std::max(longest, current);
  }
  return longest == 0 ? yes : Distance{-1.0 * longest * period_ms, false};
}

/// Least over all events of: the limit, less the time to the response.
Bounds latest_response(const Formula& event, bool on_edge, const Formula& response, int limit,
                       const Run& run) {
  const int end = static_cast<int>(run.size());
  Formula edge;
  edge.kind = Kind::rises;
  edge.parts = {event};
  const Formula& trigger = on_edge ? edge : event;
  Bounds result = exactly(yes);
  for (int t = 0; t < end; ++t) {
    const Bounds came = evaluate(trigger, run, t, Quantity::Pa);
    const auto met = [&](bool low) -> Distance {
      for (int i = t; i < end; ++i) {
        const Bounds b = evaluate(response, run, i, Quantity::Pa);
        if (low ? b.low.second : b.high.second) {
          return {(limit - (i - t)) * period_ms, i - t <= limit};
        }
      }
      if (low) return no;
      return {(limit - (end - t)) * period_ms, end - t <= limit};
    };
    if (came.high.second) result.low = std::min(result.low, met(true));
    if (came.low.second) result.high = std::min(result.high, met(false));
  }
  return result;
}

}  // namespace

Bounds judge(const Formula& f, const Run& run, Quantity quantity) {
  const int end = static_cast<int>(run.size());
  const auto part = [&](std::size_t i, int at) { return evaluate(f.parts[i], run, at, quantity); };
  const bool in_time = quantity == Quantity::ms;
  switch (f.kind) {
    case Kind::negation:
      return negated(judge(f.parts[0], run, quantity));
    case Kind::conjunction:
      return least(judge(f.parts[0], run, quantity), judge(f.parts[1], run, quantity));
    case Kind::disjunction:
      return best(judge(f.parts[0], run, quantity), judge(f.parts[1], run, quantity));
    case Kind::at_start:
      return part(0, 0);
    case Kind::at_end:
      return part(0, end - 1);
    case Kind::after: {
      if (in_time) return latest_response(f.parts[0], true, f.parts[1], f.to, run);
      Bounds result = exactly(yes);
      for (int t = 0; t < end; ++t) {
        Formula edge;
        edge.kind = Kind::rises;
        edge.parts = {f.parts[0]};
        Bounds met = exactly(no);
        for (int i = t; i <= t + f.to; ++i) met = best(met, part(1, i));
        result = least(result, best(negated(evaluate(edge, run, t, quantity)), met));
      }
      return result;
    }
    case Kind::until: {
      if (f.bounded) return evaluate(f, run, 0, quantity);
      Formula within = f;
      within.bounded = true;
      within.to = end - 1;
      return evaluate(within, run, 0, quantity);
    }
    default:
      break;
  }
  if (f.bounded && f.kind != Kind::never) return evaluate(f, run, 0, quantity);
  if (f.kind == Kind::never) {
    Formula inverse;
    inverse.kind = Kind::negation;
    inverse.parts = f.parts;
    Formula always = f;
    always.kind = Kind::always;
    always.parts = {inverse};
    return judge(always, run, quantity);
  }
  const Formula& body = f.parts[0];
  if (in_time && f.kind == Kind::always && body.kind == Kind::implication &&
      body.parts[1].kind == Kind::eventually && body.parts[1].from == 0) {
    return latest_response(body.parts[0], false, body.parts[1].parts[0], body.parts[1].to, run);
  }
  if (in_time && !tells_time(body)) {
    std::vector<bool> low;
    std::vector<bool> high;
    for (int t = 0; t < end; ++t) {
      const Bounds b = evaluate(body, run, t, Quantity::Pa);
      low.push_back(b.low.second);
      high.push_back(b.high.second);
    }
    if (f.kind == Kind::always) return {longest_break(low), longest_break(high)};
    low.flip();
    high.flip();
    return {negated(longest_break(low)), negated(longest_break(high))};
  }
  Bounds result = part(0, 0);
  for (int t = 1; t < end; ++t) {
    result = f.kind == Kind::always ? least(result, part(0, t)) : best(result, part(0, t));
  }
  return result;
}

}  // namespace ovenproof::properties::reference

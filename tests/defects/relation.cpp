#include "relation.hpp"

#include <bit>
#include <stdexcept>
#include <utility>

#include "asked_ahead.hpp"
#include "sim/prove/explorer.hpp"

namespace ovenproof::defects {
namespace {

using namespace logic;
using logic::FactSet;
using prove::Adversary;
using prove::Reading;

std::string words(const Reading& reading) {
  std::string text;
  for (FactSet left = reading.known; left != 0; left &= left - 1) {
    const FactSet fact = left & ~(left - 1);
    text += (reading.value & fact) != 0 ? " " : " not ";
    text += name_of(static_cast<Fact>(std::countr_zero(fact)));
  }
  return text;
}

void differ(std::string& text, const char* what, const std::string& sound,
            const std::string& broken) {
  if (sound != broken) text += std::string(" ") + what + " " + sound + " -> " + broken + ";";
}

std::string names(OutputSet set) {
  std::string text;
  for (std::size_t i = 0; i < output_count; ++i) {
    if (set.has(static_cast<Output>(i)))
      text += (text.empty() ? "" : "+") + std::string(name_of(static_cast<Output>(i)));
  }
  return text.empty() ? "none" : text;
}

std::string names(const TimerSet timers) {
  std::string text;
  for (TimerSet left = timers; left != 0; left &= left - 1) {
    text += (text.empty() ? "" : "+") +
            std::string(name_of(fact_of(static_cast<Timer>(std::countr_zero(left)))));
  }
  return text.empty() ? "none" : text;
}

std::string names(Cause cause) { return cause == Cause::none ? "none" : row_of(cause).key; }

/// In what the two differ, for whoever wonders why a defect is not noticed.
std::string told(const LogicState& from, const Reading& reading, const Point& sound,
                 const Point& broken) {
  std::string text =
      std::string("in ") + name_of(from.places.phase) + " with" + words(reading) + ":";
  const Memory& a = sound.state.memory;
  const Memory& b = broken.state.memory;
  const auto flag = [](bool on) { return std::string(on ? "on" : "off"); };
  differ(text, "step", std::to_string(static_cast<int>(sound.progress.next)),
         std::to_string(static_cast<int>(broken.progress.next)));
  differ(text, "phase", name_of(sound.state.places.phase), name_of(broken.state.places.phase));
  differ(text, "gas", name_of(sound.state.places.gas), name_of(broken.state.places.gas));
  differ(text, "fan", name_of(sound.state.places.fan), name_of(broken.state.places.fan));
  differ(text, "jacket", name_of(sound.state.places.jacket), name_of(broken.state.places.jacket));
  differ(text, "energised", names(a.energised), names(b.energised));
  differ(text, "withheld", names(a.withheld), names(b.withheld));
  differ(text, "latched", names(a.latched), names(b.latched));
  differ(text, "first-out", names(a.first_out), names(b.first_out));
  differ(text, "armed", flag(a.armed), flag(b.armed));
  differ(text, "ended normally", flag(a.ended_normally), flag(b.ended_normally));
  differ(text, "gate met", flag(a.gate_met), flag(b.gate_met));
  differ(text, "blanket", flag(a.blanket), flag(b.blanket));
  differ(text, "re-purges", std::to_string(a.repurges), std::to_string(b.repurges));
  differ(text, "start seen off", flag(a.start.off_seen()), flag(b.start.off_seen()));
  differ(text, "reset seen off", flag(a.reset.off_seen()), flag(b.reset.off_seen()));
  differ(text, "door seen open", flag(a.door.off_seen()), flag(b.door.off_seen()));
  const Commands& c = sound.progress.commands;
  const Commands& d = broken.progress.commands;
  differ(text, "timers", names(c.timers), names(d.timers));
  differ(text, "outputs", names(c.outputs), names(d.outputs));
  differ(text, "count purge", flag(c.count_purge), flag(d.count_purge));
  differ(text, "acknowledge", flag(c.acknowledge), flag(d.acknowledge));
  differ(text, "restart", flag(c.programme_restart), flag(d.programme_restart));
  differ(text, "advance", flag(c.programme_advance), flag(d.programme_advance));
  differ(text, "told armed", flag(c.armed), flag(d.armed));
  differ(text, "told first-out", names(c.first_out), names(d.first_out));
  differ(text, "told phase", name_of(c.phase), name_of(d.phase));
  return text;
}

}  // namespace

Relation::Relation(const Options& options) : options_(options), births_(prove::births(options)) {
  std::unordered_map<Point, std::uint32_t, HashPoint> numbers;
  const auto number = [&](const Point& point) {
    const auto [at, fresh] = numbers.emplace(point, static_cast<std::uint32_t>(points_.size()));
    if (fresh) points_.push_back(point);
    return at->second;
  };
  Logic logic(options);
  const auto start = [&](std::uint64_t state) {
    const std::size_t known = points_.size();
    const std::uint32_t at = number(begun(logic, prove::unpack(prove::with_representative(state))));
    if (points_.size() > known) starts_.push_back(at);
    start_of_.emplace(prove::pack(points_[at].state), at);
  };
  for (const std::uint64_t birth : births_) start(birth);
  Adversary adversary;
  for (std::size_t i = 0; i < points_.size(); ++i) {
    first_way_.push_back(ways_.size());
    if (points_[i].progress.next == Step::done) {
      start(prove::pack(points_[i].state));
      continue;
    }
    const Point from = points_[i];
    adversary.begin();
    do {
      Point to = stepped(logic, from, adversary);
      const TimerSet timers = std::exchange(to.progress.commands.timers, 0);
      ways_.push_back({adversary.reading(), number(to), timers});
    } while (adversary.next());
  }
  first_way_.push_back(ways_.size());

  const prove::Histories none({}, options);
  const prove::Exploration explored = prove::explore({options}, none, {});
  for (std::size_t i = 0; i < explored.states.size(); ++i) {
    reached_.insert(explored.states.key(static_cast<prove::StateStore::Index>(i)).logic);
  }
}

std::optional<std::string> Relation::difference() const {
  if (prove::births(options_) != births_) return "born otherwise";
  Logic logic(options_);
  if (!(logic.options() == options_)) return "has other options";
  for (const std::uint32_t start : starts_) {
    const Point& sound = points_[start];
    const Point broken = begun(logic, sound.state);
    if (broken != sound) return told(sound.state, {}, sound, broken);
  }
  for (std::uint32_t point = 0; point < points_.size(); ++point) {
    if (std::optional<std::string> found = difference_at(point, logic)) return found;
  }
  return std::nullopt;
}

std::optional<std::string> Relation::difference_at(std::uint32_t point, Logic& logic) const {
  Adversary adversary;
  for (std::size_t w = first_way_[point]; w < first_way_[point + 1]; ++w) {
    adversary.begin(ways_[w].reading);
    do {
      const Point to = stepped(logic, points_[point], adversary);
      Point sound = points_[ways_[w].to];
      sound.progress.commands.timers = ways_[w].timers;
      if (to != sound) return told(points_[point].state, adversary.reading(), sound, to);
    } while (adversary.next());
  }
  return std::nullopt;
}

const Relation::Way& Relation::way_from(std::uint32_t point, Adversary& adversary) const {
  for (std::size_t w = first_way_[point];; ++w) {
    bool fits = true;
    for (FactSet left = ways_[w].reading.known; left != 0 && fits; left &= left - 1) {
      const FactSet fact = left & ~(left - 1);
      fits = adversary.now(static_cast<Fact>(std::countr_zero(fact))) ==
             ((ways_[w].reading.value & fact) != 0);
    }
    if (fits) return ways_[w];
  }
}

namespace {

/// The defective logic beside the sound one, in the same place of a scan.
struct Beside {
  std::uint32_t sound = 0;
  Point broken;
  TimerSet parted = 0;   ///< have not run alike until now: may have elapsed in one alone
  TimerSet apart = 0;    ///< run by one alone in this scan
  TimerSet kept_on = 0;  ///< of `parted`, run by both in this scan
  /// Facts of this scan that made the two go apart: later steps are told the same of them.
  Reading held = {};
};

struct HashBeside {
  std::size_t operator()(const Beside& b) const {
    const std::uint64_t timers = (std::uint64_t{b.parted} << 20U ^ b.apart) << 20U ^ b.kept_on;
    const std::uint64_t held = prove::hash_of({b.held.known, b.held.value});
    return prove::hash_of({HashPoint()(b.broken) ^ timers, b.sound ^ held});
  }
};
struct SameBeside {
  bool operator()(const Beside& a, const Beside& b) const {
    return a.sound == b.sound && a.parted == b.parted && a.apart == b.apart &&
           a.kept_on == b.kept_on && a.held == b.held && a.broken == b.broken;
  }
};

/// How far a scan is, to the row of the matrix.
std::pair<Step, int> place_of(const Progress& progress) {
  return {progress.next, progress.next == Step::trips ? std::countr_zero(progress.trips) : 0};
}

/// The facts as the defective logic is told them: those that the sound one is told, but for the
/// timers that have not run alike, which are the adversary's to choose for each of the two. It
/// keeps the second choice where it keeps facts of the scan before.
struct OtherFacts {
  Adversary& adversary;
  TimerSet parted;

  [[nodiscard]] Facts reader() const {
    return {this, [](const void* self, Fact fact) {
              const auto* other = static_cast<const OtherFacts*>(self);
              const auto at = static_cast<std::size_t>(fact);
              const bool own =
                  at >= plain_fact_count && (other->parted >> (at - plain_fact_count) & 1U) != 0;
              return own ? other->adversary.before(fact) : other->adversary.now(fact);
            }};
  }
};

}  // namespace

std::vector<std::uint32_t> Relation::parting_points() const {
  std::vector<std::uint32_t> parting;
  Logic logic(options_);
  for (std::uint32_t point = 0; point < points_.size(); ++point) {
    if (difference_at(point, logic)) parting.push_back(point);
  }
  return parting;
}

std::optional<std::string> Relation::telling_difference() const {
  if (prove::births(options_) != births_) return "born otherwise";
  Logic logic(options_);
  if (!(logic.options() == options_)) return "has other options";
  const std::vector<std::uint32_t> parting = parting_points();
  std::unordered_set<Beside, HashBeside, SameBeside> known;
  std::vector<Beside> open;
  AskedAhead asked(logic);
  const auto add = [&](Beside pair) {
    // A timer that the one with the defect asks for no more may have elapsed or not.
    if (pair.parted != 0) pair.parted &= asked.in_scan(pair.broken);
    if ((pair.apart | pair.kept_on) != 0) {
      pair.apart &= asked.in_next(pair.broken);
      pair.kept_on &= asked.in_next(pair.broken);
    }
    // Where the two are one, all that can follow are the points at which they part.
    const bool one =
        (pair.parted | pair.apart | pair.kept_on) == 0 && points_[pair.sound] == pair.broken;
    if (one) return;
    if (known.insert(pair).second) open.push_back(pair);
  };
  const auto start = [&](std::uint64_t sound, std::uint64_t broken, TimerSet parted) {
    const LogicState from = prove::unpack(prove::with_representative(broken));
    add({start_of_.at(prove::with_representative(sound)), begun(logic, from), parted});
  };
  for (const std::uint32_t at : starts_) {
    const std::uint64_t state = prove::pack(points_[at].state);
    start(state, state, 0);
  }
  for (const std::uint32_t at : parting) open.push_back({at, points_[at]});
  Adversary adversary;
  while (!open.empty()) {
    const Beside from = open.back();
    open.pop_back();
    const Point& sound_from = points_[from.sound];
    // The one that is behind goes first, so that both look at the same row of the matrix together.
    const bool sound_goes = place_of(sound_from.progress) <= place_of(from.broken.progress);
    const bool broken_goes = place_of(from.broken.progress) <= place_of(sound_from.progress);
    const bool over = sound_from.progress.next == Step::done && sound_goes && broken_goes;
    if (over && sound_from.progress.commands != from.broken.progress.commands) {
      return told(sound_from.state, {}, sound_from, from.broken);
    }
    if (over) {
      start(prove::pack(sound_from.state), prove::pack(from.broken.state),
            from.apart | from.kept_on);
      continue;
    }
    const bool alike = sound_from.state == from.broken.state;
    adversary.begin(from.held);
    do {
      Beside to = from;
      TimerSet run_by_sound = 0;
      if (sound_goes) {
        const Way& way = way_from(from.sound, adversary);
        to.sound = way.to;
        run_by_sound = way.timers;
      }
      if (broken_goes) {
        logic.resume(from.broken.state);
        const OtherFacts facts{adversary, from.parted};
        logic.step(to.broken.progress, facts.reader());
        to.broken.state = logic.state();
      }
      const TimerSet run = std::exchange(to.broken.progress.commands.timers, 0);
      to.apart |= run ^ run_by_sound;
      to.kept_on |= run & run_by_sound & from.parted;
      const bool go_apart = alike && !(points_[to.sound].state == to.broken.state);
      if (go_apart || run != run_by_sound) {
        to.held = adversary.reading().of(logic::bit(static_cast<Fact>(plain_fact_count)) - 1);
      }
      add(to);
    } while (adversary.next());
  }
  return std::nullopt;
}

std::optional<std::string> Relation::difference_of_scans() const {
  if (prove::births(options_) != births_) return "born otherwise";
  Logic logic(options_);
  Adversary adversary;
  for (const std::uint32_t start : starts_) {
    if (!reached_.contains(prove::pack(points_[start].state))) continue;
    adversary.begin();
    do {
      std::uint32_t at = start;
      TimerSet timers = 0;
      while (points_[at].progress.next != Step::done) {
        const Way& way = way_from(at, adversary);
        at = way.to;
        timers |= way.timers;
      }
      Point sound = points_[at];
      sound.progress.commands.timers = timers;
      logic.resume(points_[start].state);
      Point to;
      to.progress.next = Step::done;
      to.progress.commands = logic.scan(adversary.facts());
      to.state = logic.state();
      to.progress.trips = sound.progress.trips;
      to.progress.edges = sound.progress.edges;
      if (to != sound) return told(points_[start].state, adversary.reading(), sound, to);
    } while (adversary.next());
  }
  return std::nullopt;
}

}  // namespace ovenproof::defects

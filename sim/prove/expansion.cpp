#include "sim/prove/expansion.hpp"

#include <algorithm>
#include <bit>
#include <span>

namespace ovenproof::prove {
namespace {

constexpr std::uint32_t not_asked = UINT32_MAX;
constexpr std::uint32_t no_group = UINT32_MAX;

}  // namespace

Expansion::Expansion(const Subject& subject, const Histories& histories, ProspectStore& store)
    : options_(subject.options),
      histories_(histories),
      assumed_(subject.assumed),
      merging_(subject.merges(histories)),
      graph_(subject.options, subject.assumed, merging_),
      rerun_(subject.options, merging_),
      prospects_(histories, merging_, store) {}

void Expansion::build(std::uint64_t logic) {
  from_ = logic;
  graph_.build(logic);
  before_ = told_by({.state = logic}, options_);
  leaf_count_ = graph_.leaves().size();
  if (leaves_.size() < leaf_count_) leaves_.resize(leaf_count_);
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    Leaf& leaf = leaves_[i];
    leaf.node = graph_.leaves()[i];
    const Answer answer = graph_.answer(leaf.node);
    leaf.next = merging_ ? with_representative(answer.state) : answer.state;
    leaf.now = told_by(answer, options_);
  }
  run_again();
}

/// Runs scans over every branch the way the controller does.
void Expansion::run_again() {
  for (std::size_t i = 0; i < leaf_count_; ++i) leaves_[i].differs.reset();
  std::uint64_t turn = hash_of({from_, 0}) >> 32;
  for (const FactWalk::WholeWay& way : walk_.ways_over_all_branches(graph_)) {
    logic::Commands commands = graph_.commands(way.leaf);
    commands.timers = way.timers;
    const logic::LogicState after = graph_.after(way.leaf);
    const Rerun::Found found =
        rerun_.check({from_, way.reading, after, commands, way.tripped_by, turn++});
    first_outs_differ_ = first_outs_differ_ || found.first_outs_differ;
    if (!found.differs) continue;
    Leaf& leaf = *std::find_if(leaves_.begin(), leaves_.end(),
                               [&way](const Leaf& each) { return each.node == way.leaf; });
    if (leaf.differs) continue;
    leaf.differs = found.differs;
    leaf.now[static_cast<std::size_t>(Told::as_explored)] = 0;
  }
}

/// Where the question is among those that are asked from this state.
std::size_t Expansion::ask(std::uint32_t question) {
  if (asked_as_.size() < prospects_.question_count()) {
    asked_as_.resize(prospects_.question_count(), not_asked);
  }
  std::uint32_t& place = asked_as_[question];
  if (place == not_asked) {
    place = static_cast<std::uint32_t>(questions_.size());
    questions_.push_back(prospects_.question(question));
    asked_.push_back(question);
  }
  return place;
}

/// Calls `use(case)` for all that is worth asking: first for what the memory becomes.
template <class Use>
void Expansion::each_case(const Prospect& prospect, Use use) const {
  for (const Prospect::Remembered& way : prospects_.memory(prospect.memory)) use(way);
  for (const std::uint32_t number : prospect.open) {
    const Prospect::Open& open = prospects_.open(number);
    const bool met = premises_met_[open.obligation];
    if (met && !open.can_be_violated) continue;
    for (const Prospect::Judged& way : open.cases) {
      if (way.violated || !met) use(way);
    }
  }
}

void Expansion::look_ahead(std::uint64_t history) {
  for (const std::uint32_t question : asked_) asked_as_[question] = not_asked;
  asked_.clear();
  for (const Group& group : groups_) group_of_[group.prospect] = no_group;
  groups_.clear();
  places_.clear();
  questions_.assign(1, {});  // can it be reached at all?
  keep_ = 0;
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    Leaf& leaf = leaves_[i];
    const std::uint32_t number = prospects_.find(before_, leaf.now, history, premises_met_);
    if (group_of_.size() <= number) group_of_.resize(number + 1, no_group);
    std::uint32_t& group = group_of_[number];
    if (group == no_group) {
      group = static_cast<std::uint32_t>(groups_.size());
      groups_.push_back({number, places_.size(), 0, 0});
      const Prospect& prospect = prospects_.at(number);
      keep_ |= prospect.keep;
      each_case(prospect, [this](const Prospect::Case& way) {
        places_.push_back(static_cast<std::uint32_t>(ask(way.question)));
      });
    }
    leaf.group = group;
  }
}

/// Calls `use(index, arrival)` until it returns false, and then returns false.
template <class Use>
bool Expansion::each_arrival(const Leaf& leaf, Use use) const {
  for (auto a = walk_.first_at(leaf.node); a != FactWalk::none; a = walk_.arrival(a).next) {
    if (!use(a, walk_.arrival(a))) return false;
  }
  return true;
}

/// First only whether each fact can be so or so; see cover().
void Expansion::ask_what_is_covered(const Coverage& coverage) {
  const logic::LogicState before = unpack(from_);
  covers_ = 0;
  covers_at_ = questions_.size();
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    Leaf& leaf = leaves_[i];
    leaf.covers.reset();
    leaf.can_be_true = leaf.can_be_false = 0;
    if (covered_) continue;
    leaf.covers = coverage.hangs_on({before, graph_.after(leaf.node), graph_.first_outs()});
    covers_ |= leaf.covers.value_or(0) & ~which_first_out;
  }
  for (FactSet left = covers_; left != 0; left &= left - 1) {
    const FactSet fact = left & ~(left - 1);
    questions_.push_back({{fact, 0}, logic::Cause::none});
    questions_.push_back({{fact | excluded_by(fact), fact}, logic::Cause::none});
  }
}

/// Takes from the answers to a batch, that begins with question `first`, what facts can be.
void Expansion::note_facts(Leaf& leaf, std::size_t first, std::uint64_t yes) const {
  std::size_t place = covers_at_ - first;
  for (FactSet left = covers_; left != 0; left &= left - 1) {
    const FactSet fact = left & ~(left - 1);
    for (FactSet* can_be : {&leaf.can_be_false, &leaf.can_be_true}) {
      if (place < at_a_time && (yes >> place & 1U) != 0) *can_be |= fact;
      ++place;
    }
  }
}

/// Puts the questions of one batch to the graph.
void Expansion::answer(std::size_t batch, Expanded& expanded) {
  const std::size_t first = batch * at_a_time;
  const std::span<const Question> all(questions_);
  walk_.begin(graph_, all.subspan(first, std::min(at_a_time, all.size() - first)));
  const auto bit_at = [&](std::size_t number) {
    const std::size_t place = places_[number] - first;
    return place < at_a_time ? std::uint64_t{1} << place : 0;
  };
  std::uint64_t of_coverage = 0;
  for (std::size_t n = 0; n < 2 * static_cast<std::size_t>(std::popcount(covers_)); ++n) {
    const std::size_t place = covers_at_ + n - first;
    if (place < at_a_time) of_coverage |= std::uint64_t{1} << place;
  }
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    Group& group = groups_[g];
    const std::size_t end = g + 1 < groups_.size() ? groups_[g + 1].first_place : places_.size();
    group.wanted = batch == 0 ? 1 : 0;
    for (std::size_t n = group.first_place; n < end; ++n) group.wanted |= bit_at(n);
    group.yes = 0;
  }
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    const bool covers = leaves_[i].covers && *leaves_[i].covers != 0;
    walk_.want(leaves_[i].node,
               groups_[leaves_[i].group].wanted | (covers ? of_coverage : std::uint64_t{0}));
  }
  walk_.walk({.facts = keep_});

  for (std::size_t i = 0; i < leaf_count_; ++i) {
    Leaf& leaf = leaves_[i];
    Group& group = groups_[leaf.group];
    const Prospect& prospect = prospects_.at(group.prospect);
    const std::vector<Prospect::Remembered>& memory = prospects_.memory(prospect.memory);
    std::uint64_t yes = 0;
    memories_.clear();
    each_arrival(leaf, [&](auto, const FactWalk::Arrival& arrival) {
      yes |= arrival.yes;
      if (batch == 0) scans_ += arrival.scans;
      for (std::size_t n = 0; n < memory.size(); ++n) {
        if ((arrival.yes & bit_at(group.first_place + n)) == 0) continue;
        const std::uint64_t bits = memory[n].bits | kept_bits(prospect, memory[n], arrival);
        if (std::find(memories_.begin(), memories_.end(), bits) != memories_.end()) continue;
        memories_.push_back(bits);
        expanded.next.push_back({leaf.next, bits});
      }
      return true;
    });
    if (yes == 0) continue;
    if (leaf.covers) note_facts(leaf, first, yes);
    if (batch == 0) ++transitions_;
    group.yes |= yes;
  }
  for (const Group& group : groups_) {
    if (group.yes != 0) judge(group, batch, first, expanded.verdicts);
  }
}

/// What was answered about the properties.
void Expansion::judge(const Group& group, std::size_t batch, std::size_t first,
                      Histories::Verdicts& verdicts) const {
  const Prospect& prospect = prospects_.at(group.prospect);
  if (batch == 0) {
    verdicts.violated |= prospect.verdicts.violated;
    verdicts.premises |= prospect.verdicts.premises;
  }
  for (const std::uint32_t number : prospect.open) {
    const Prospect::Open& open = prospects_.open(number);
    for (const Prospect::Judged& way : open.cases) {
      const std::size_t place = asked_as_[way.question] - first;
      if (place >= at_a_time || (group.yes >> place & 1U) == 0) continue;
      (way.violated ? verdicts.violated : verdicts.premises).set(open.obligation);
    }
  }
}

std::uint64_t Expansion::kept_bits(const Prospect& prospect, const Prospect::Case& way,
                                   const FactWalk::Arrival& arrival) const {
  if (prospect.keep == 0) return 0;
  return histories_.kept_bits(arrival.told | prospects_.question(way.question).facts,
                              prospect.keep);
}

/// Shows the coverage what scans show, where any can still show something new.
void Expansion::cover(Coverage& coverage) {
  covered_ = true;
  const logic::LogicState before = unpack(from_);
  FactSet facts = 0;
  bool any = false;
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    Leaf& leaf = leaves_[i];
    if (!leaf.covers) continue;
    leaf.covers = coverage.hangs_on({before, graph_.after(leaf.node), graph_.first_outs(),
                                     leaf.can_be_true, leaf.can_be_false});
    if (!leaf.covers) continue;
    facts |= *leaf.covers;
    any = true;
  }
  if (!any) return;
  const Question any_scan;
  walk_.begin(graph_, {&any_scan, 1});
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    if (leaves_[i].covers) walk_.want(leaves_[i].node, 1);
  }
  walk_.walk({.facts = facts & ~which_first_out, .first_out = (facts & which_first_out) != 0});
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    const Leaf& leaf = leaves_[i];
    if (!leaf.covers) continue;
    each_arrival(leaf, [&](auto, const FactWalk::Arrival& arrival) {
      coverage.note({before, graph_.after(leaf.node), arrival.told, arrival.tripped_by});
      return true;
    });
  }
}

void Expansion::enter(std::uint64_t logic) {
  build(logic);
  covered_ = false;
}

void Expansion::expand(std::uint64_t history, Coverage& coverage, Expanded& expanded) {
  expanded.next.clear();
  expanded.verdicts = {};
  expanded.as_explored =
      std::none_of(leaves_.begin(), leaves_.begin() + static_cast<std::ptrdiff_t>(leaf_count_),
                   [](const Leaf& leaf) { return leaf.differs.has_value(); });
  look_ahead(history);
  ask_what_is_covered(coverage);
  for (std::size_t batch = 0; batch * at_a_time < questions_.size(); ++batch) {
    answer(batch, expanded);
  }
  premises_met_ |= expanded.verdicts.premises;
  // What is at work in the logic does not hang on the memory of properties.
  if (!covered_) cover(coverage);
}

/// A scan that comes to the leaf and answers the question with yes, and is kept as said.
std::optional<Way> Expansion::way_with(const Leaf& leaf, const Prospect::Case& with,
                                       std::optional<std::uint64_t> kept) {
  const Prospect& prospect = prospect_of(leaf);
  const Question& question = prospects_.question(with.question);
  walk_.begin(graph_, {&question, 1});
  walk_.want(leaf.node, 1);
  walk_.walk({.facts = prospect.keep, .timers = true});
  std::optional<Way> found;
  each_arrival(leaf, [&](auto index, const FactWalk::Arrival& arrival) {
    if (arrival.yes == 0) return true;
    if (kept && kept_bits(prospect, with, arrival) != *kept) return true;
    found = {walk_.whole(index) | question.facts, with.before};
    return false;
  });
  return found;
}

std::optional<Way> Expansion::way(const Key& from, const Key& to) {
  build(from.logic);
  look_ahead(from.history);
  const std::uint64_t kept = to.history & histories_.kept_mask();
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    if (leaves_[i].next != to.logic) continue;
    for (const Prospect::Remembered& with : prospects_.memory(prospect_of(leaves_[i]).memory)) {
      if (with.bits != (to.history & ~histories_.kept_mask())) continue;
      if (const std::optional<Way> found = way_with(leaves_[i], with, kept)) return found;
    }
  }
  return std::nullopt;
}

std::optional<Way> Expansion::way_to_violate(const Leaf& leaf, std::size_t obligation) {
  const Prospect& prospect = prospect_of(leaf);
  if (prospect.verdicts.violated[obligation]) {
    if (leaf.differs) return Way{{all_facts, *leaf.differs & all_facts}, {}};
    for (const Prospect::Remembered& with : prospects_.memory(prospect.memory)) {
      if (const std::optional<Way> found = way_with(leaf, with, {})) return found;
    }
  }
  for (const std::uint32_t number : prospect.open) {
    const Prospect::Open& open = prospects_.open(number);
    if (open.obligation != obligation) continue;
    for (const Prospect::Judged& with : open.cases) {
      if (!with.violated) continue;
      if (const std::optional<Way> found = way_with(leaf, with, {})) return found;
    }
  }
  return std::nullopt;
}

std::optional<Way> Expansion::way_to_violate(const Key& from, std::size_t property) {
  build(from.logic);
  look_ahead(from.history);
  for (std::size_t i = 0; i < leaf_count_; ++i) {
    for (std::size_t o = 0; o < histories_.size(); ++o) {
      if (histories_.obligation(o).property != property) continue;
      if (const std::optional<Way> found = way_to_violate(leaves_[i], o)) return found;
    }
  }
  return std::nullopt;
}

}  // namespace ovenproof::prove

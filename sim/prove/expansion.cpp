#include "sim/prove/expansion.hpp"

#include <algorithm>
#include <bit>

namespace ovenproof::prove {
namespace {

constexpr std::size_t fewest_slots = 64;

}  // namespace

void Slots::clear(std::size_t items) {
  slots_.assign(std::bit_ceil(std::max(fewest_slots, 4 * items)), empty);
}

Expansion::Expansion(const Subject& subject, const Histories& histories)
    : options_(subject.options),
      histories_(histories),
      assumed_(subject.assumed),
      merging_(subject.merges(histories)),
      logic_(subject.options) {}

void Expansion::begin(const Key& from) {
  before_ = told_by({.state = from.logic}, options_);
  answer_count_ = 0;
  answer_slots_.clear();
  distinct_.clear();
  distinct_slots_.clear();
}

std::uint64_t Expansion::hash_of_answer(const Answer& a) {
  const unsigned flags = (a.programme_restart ? 1U : 0U) | (a.programme_advance ? 2U : 0U) |
                         (a.count_purge ? 4U : 0U) | (a.acknowledge ? 8U : 0U);
  return hash_of({a.state, flags});
}

std::uint64_t Expansion::hash_of_run(std::uint32_t answer, const Reading& told) {
  return hash_of({told.known, told.value ^ std::uint64_t{answer} << 40});
}

std::uint32_t Expansion::index_of(const Answer& answer, const Key& from) {
  std::uint32_t& slot = answer_slots_.find(
      hash_of_answer(answer), [&](std::uint32_t i) { return answers_[i].answer == answer; });
  if (slot != Slots::empty) return slot;
  const auto made = static_cast<std::uint32_t>(answer_count_++);
  slot = made;
  if (answers_.size() < answer_count_) answers_.emplace_back();
  Answered& answered = answers_[made];
  answered.answer = answer;
  answered.next = merging_ ? with_representative(answer.state) : answer.state;
  answered.now = told_by(answer, options_);
  histories_.look_ahead(before_, answered.now, from.history, answered.outlook);
  if (answer_slots_.crowded(answer_count_)) {
    answer_slots_.clear(answer_count_);
    for (std::uint32_t i = 0; i < answer_count_; ++i) {
      answer_slots_.find(hash_of_answer(answers_[i].answer), [](std::uint32_t) { return false; }) =
          i;
    }
  }
  return made;
}

void Expansion::note(const Run& run, const Key& from) {
  const std::uint32_t answer = index_of(run.answer, from);
  const Reading told = run.reading.of(answers_[answer].outlook.facts);
  std::uint32_t& slot = distinct_slots_.find(hash_of_run(answer, told), [&](std::uint32_t i) {
    return distinct_[i].answer == answer && distinct_[i].told == told;
  });
  if (slot != Slots::empty) return;
  slot = static_cast<std::uint32_t>(distinct_.size());
  distinct_.push_back({answer, told, run.reading});
  if (distinct_slots_.crowded(distinct_.size())) {
    distinct_slots_.clear(distinct_.size());
    for (std::uint32_t i = 0; i < distinct_.size(); ++i) {
      distinct_slots_.find(hash_of_run(distinct_[i].answer, distinct_[i].told),
                           [](std::uint32_t) { return false; }) = i;
    }
  }
}

}  // namespace ovenproof::prove

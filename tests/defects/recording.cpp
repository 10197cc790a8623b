#include "recording.hpp"

#include <cstddef>
#include <cstdint>

#include "places.hpp"

// Of the altered copy; see special.py.
namespace ovenproof::logic {
void break_matrix(int place);
void leave_out_other_rows(int cleared_cell);
void leave_out_trips();
void rework_rows();
}  // namespace ovenproof::logic

namespace ovenproof::defects {
namespace {

std::vector<int> numbers(unsigned char mark) {
  std::vector<int> found;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    if ((notes[i] & mark) != 0) found.push_back(static_cast<int>(i));
  }
  return found;
}

}  // namespace

void select(int place) {
  chosen = place;
  noting_the_matrix = taking_notes();
  break_also(place);
}

void break_also(int place, int alone) {
  logic::break_matrix(place);
  logic::leave_out_other_rows(alone);
  logic::rework_rows();
}

void leave_out_trips() {
  logic::leave_out_trips();
  logic::rework_rows();
}

void note_the_matrix() { noting_the_matrix = true; }

void forget_differences() {
  ripened = ~std::uint64_t{0};
  for (unsigned char& each : notes) each &= come_to;
}

std::vector<int> places_that_differ() { return numbers(differs); }

std::vector<int> places_reached() { return numbers(come_to); }

}  // namespace ovenproof::defects

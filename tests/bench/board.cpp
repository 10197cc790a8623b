#include "hal-mock/board.hpp"

#include <benchmark/benchmark.h>

namespace ovenproof::mock {
namespace {

/// What one 10 ms scan costs the mock board: field in, time, image, outputs.
void board_step(benchmark::State& state) {
  Board board;
  FieldInputs field;
  board.present(field);
  board.power_on();
  hal::OutputImage outputs;
  for (auto _ : state) {
    field.set(hal::AnalogIn::te_a, field.value(hal::AnalogIn::te_a) + 1e-6);
    board.present(field);
    board.advance(10);
    benchmark::DoNotOptimize(board.read_inputs());
    board.write_outputs(outputs);
    board.kick_watchdog();
  }
  if (board.ignored_calls() != 0) state.SkipWithError("the board did not run");
}
BENCHMARK(board_step);

}  // namespace
}  // namespace ovenproof::mock

#include "command.hpp"

#include <charconv>
#include <cstdio>
#include <exception>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "record.hpp"
#include "recording.hpp"
#include "serve.hpp"
#include "sim/app/program.hpp"

namespace ovenproof::defects {
namespace {

constexpr const char* usage =
    "The simulator with firmware that can be broken in one place at a time.\n"
    "  defects --defect N ARGUMENTS...   ovenproof ARGUMENTS with defect N awake; 0: none\n"
    "  defects --record FILE N I COUNT PATH...\n"
    "                                    play every COUNTth scenario, the Ith first, without\n"
    "                                    defect, and note which defects would make a\n"
    "                                    difference in each, and which cells of the matrix\n"
    "                                    beside defect N\n"
    "  defects --serve PATH...           play scenarios with one defect after the other,\n"
    "                                    as standard input says (see serve.hpp)\n";

int refuse() {
  std::fputs(usage, stderr);
  return 2;
}

std::optional<int> number_in(std::string_view text) {
  int number = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failure != std::errc{} || end != text.data() + text.size() || number < 0) return std::nullopt;
  return number;
}

int chosen_command(std::span<const char* const> arguments) {
  if (arguments.size() < 3) return refuse();
  const std::string_view command = arguments[1];
  if (command == "--defect") {
    const std::optional<int> place = number_in(arguments[2]);
    if (!place) return refuse();
    select(*place);
    const auto rest = arguments.subspan(2);  // in place of the program's name
    return app::run_program(static_cast<int>(rest.size()), rest.data());
  }
  const auto strings = [&](std::size_t from) {
    return std::vector<std::string>(arguments.begin() + static_cast<std::ptrdiff_t>(from),
                                    arguments.end());
  };
  if (command == "--record" && arguments.size() > 6) {
    const std::optional<int> first_line = number_in(arguments[3]);
    const std::optional<int> index = number_in(arguments[4]);
    const std::optional<int> count = number_in(arguments[5]);
    if (!first_line || !index || !count || *index >= *count) return refuse();
    const Share share{static_cast<std::size_t>(*index), static_cast<std::size_t>(*count)};
    record(arguments[2], *first_line, share, strings(6));
    return 0;
  }
  if (command == "--serve") {
    serve(strings(2));
    return 0;
  }
  return refuse();
}

}  // namespace

int run_command(int count, const char* const* arguments) {
  try {
    return chosen_command({arguments, static_cast<std::size_t>(count)});
  } catch (const std::exception& failure) {
    std::fprintf(stderr, "defects: %s\n", failure.what());
    return 3;
  }
}

}  // namespace ovenproof::defects

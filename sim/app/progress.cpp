#include "sim/app/progress.hpp"

#include <unistd.h>

#include <fmt/format.h>
#include <spdlog/spdlog.h>

namespace ovenproof::app {
namespace {

/// "40 s", "12 min", "3.5 h": what is left is never known better.
std::string rough(double s) {
  if (s < 120.0) return fmt::format("{:.0f} s", s);
  return s < 7200.0 ? fmt::format("{:.0f} min", s / 60.0) : fmt::format("{:.1f} h", s / 3600.0);
}

}  // namespace

Progress::~Progress() {
  if (drawn_) fmt::print(output_.stream, "\r{:78}\r", "");
}

void Progress::count(std::size_t done, std::size_t total, std::string_view what) {
  show([&] {
    const double rate = static_cast<double>(done) / seconds();
    return fmt::format(
        "{} of {} {}, {:.{}f} a second, {} left", done, total, what, rate, rate < 10.0 ? 1 : 0,
        done == 0 ? "time unknown" : rough(static_cast<double>(total - done) / rate));
  });
}

double Progress::seconds() const {
  return std::chrono::duration<double>(Clock::now() - began_).count();
}

bool Progress::is_terminal(std::FILE* stream) { return ::isatty(::fileno(stream)) != 0; }

bool Progress::is_time() {
  const Clock::time_point now = Clock::now();
  if (now - shown_ < output_.every) return false;
  shown_ = now;
  return true;
}

void Progress::print(const std::string& text) {
  if (output_.on_terminal) {
    fmt::print(output_.stream, "\r{:<78}", text);
    drawn_ = true;
  } else if (spdlog::should_log(spdlog::level::info)) {  // unless --quiet
    fmt::print(output_.stream, "{}\n", text);
  }
  std::fflush(output_.stream);
}

}  // namespace ovenproof::app

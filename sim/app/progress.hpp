#pragma once
#include <chrono>
#include <cstddef>
#include <cstdio>
#include <string>
#include <string_view>

namespace ovenproof::app {

/// Says on standard error how far long work is: on a terminal in one line that is written over and
/// goes with the object, elsewhere, such as in the log of a batch job, in a line a minute.
///
/// One thread at a time.
class Progress {
 public:
  using Clock = std::chrono::steady_clock;

  /// Where to, and how often; the default is what the user has.
  struct Output {
    std::FILE* stream = stderr;
    bool on_terminal = is_terminal(stderr);
    Clock::duration every =
        on_terminal ? Clock::duration(std::chrono::milliseconds(200)) : std::chrono::minutes(1);
  };

  Progress() : Progress(Output()) {}
  explicit Progress(Output output) : output_(output) {}
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  ~Progress();

  /// Shows what `text` makes, if it is time: "12 s simulated".
  template <class Text>
  void show(const Text& text) {
    if (is_time()) print(text());
  }

  /// The same of work that can be counted: "12 of 30 cases, 2 a second, 9 s left".
  void count(std::size_t done, std::size_t total, std::string_view what);

  /// Since the object was made.
  [[nodiscard]] double seconds() const;

 private:
  static bool is_terminal(std::FILE* stream);
  bool is_time();
  void print(const std::string& text);

  Output output_;
  bool drawn_ = false;
  Clock::time_point began_ = Clock::now();
  Clock::time_point shown_ = began_;
};

}  // namespace ovenproof::app

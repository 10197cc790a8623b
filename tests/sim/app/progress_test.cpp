#include "sim/app/progress.hpp"

#include <cstdio>
#include <string>
#include <thread>

#include <doctest/doctest.h>

namespace ovenproof::app {
namespace {

/// What goes to a stream.
class Written {
 public:
  Written() : stream_(std::tmpfile()) {}
  Written(const Written&) = delete;
  Written& operator=(const Written&) = delete;
  ~Written() { std::fclose(stream_); }
  [[nodiscard]] std::FILE* stream() const { return stream_; }
  [[nodiscard]] std::string text() const {
    std::string all;
    std::rewind(stream_);
    for (int c = std::fgetc(stream_); c != EOF; c = std::fgetc(stream_))
      all += static_cast<char>(c);
    return all;
  }

 private:
  std::FILE* stream_;
};

using std::chrono::milliseconds;

TEST_CASE("off a terminal progress is told in whole lines, one an interval") {
  const Written out;
  {
    Progress progress({out.stream(), false, milliseconds(50)});
    progress.count(1, 30, "cases");
    CHECK(out.text().empty());
    std::this_thread::sleep_for(milliseconds(60));
    progress.count(2, 30, "cases");
    progress.count(3, 30, "cases");
    std::this_thread::sleep_for(milliseconds(60));
    progress.count(4, 30, "cases");
  }
  const std::string text = out.text();
  CHECK(text.starts_with("2 of 30 cases, "));
  CHECK(text.find("\n4 of 30 cases, ") != std::string::npos);
  CHECK(text.find(" left\n") != std::string::npos);
  CHECK(text.find("3 of 30") == std::string::npos);
  CHECK(text.find('\r') == std::string::npos);
}

TEST_CASE("off a terminal the interval is a minute") {
  const Progress::Output usual{stderr, false};
  CHECK(usual.every == std::chrono::minutes(1));
}

TEST_CASE("on a terminal progress is one line that is written over and goes") {
  const Written out;
  {
    Progress progress({out.stream(), true, milliseconds(0)});
    progress.show([] { return std::string("first"); });
    progress.show([] { return std::string("second"); });
  }
  const std::string text = out.text();
  CHECK(text.starts_with("\rfirst "));
  CHECK(text.find("\rsecond ") != std::string::npos);
  CHECK(text.ends_with("\r" + std::string(78, ' ') + "\r"));
  CHECK(text.find('\n') == std::string::npos);
}

}  // namespace
}  // namespace ovenproof::app

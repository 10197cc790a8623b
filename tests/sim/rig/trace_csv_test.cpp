#include "sim/rig/trace_csv.hpp"

#include <csignal>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <stdexcept>
#include <string>
#include <sys/resource.h>
#include <unistd.h>
#include <vector>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "oven_rig.hpp"
#include "sim/rig/probes.hpp"

using namespace ovenproof;
using rig::TraceCsv;
using rig::testing::OvenAtHand;

namespace {

namespace fs = std::filesystem;

class Scratch {
 public:
  Scratch() : path_(fs::temp_directory_path() / fmt::format("ovenproof-trace-{}", getpid())) {
    fs::remove_all(path_);
    fs::create_directories(path_);
  }
  ~Scratch() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;

  [[nodiscard]] fs::path operator/(const char* name) const { return path_ / name; }
  [[nodiscard]] bool empty() const { return fs::is_empty(path_); }

 private:
  fs::path path_;
};

std::string contents(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> parts;
  std::istringstream in(text);
  for (std::string part; std::getline(in, part, at);) parts.push_back(part);
  return parts;
}

/// Ten seconds around a start, recorded.
std::string recorded(const fs::path& path, std::uint32_t every_ms) {
  OvenAtHand oven;
  TraceCsv trace(path, every_ms);
  for (int scan = 0; scan < 1'000; ++scan) {
    oven.rig.hands.reset = scan > 200 && scan < 240;
    oven.rig.step();
    trace.observe(oven.rig);
  }
  trace.finish();
  return contents(path);
}

}  // namespace

TEST_CASE("a trace has a header with units and as many columns in every row") {
  const Scratch scratch;
  const std::vector<std::string> lines = split(recorded(scratch / "trace.csv", 1'000), '\n');
  REQUIRE(lines.size() == 11);
  const std::vector<std::string> header = split(lines[0], ',');
  REQUIRE(header.size() == rig::probes().size() + 1);
  CHECK(header[0] == "time [s]");
  for (std::size_t i = 0; i < rig::probes().size(); ++i) {
    const rig::Probe& probe = rig::probes()[i];
    const std::string expected = probe.unit.empty()
                                     ? std::string(probe.name)
                                     : fmt::format("{} [{}]", probe.name, probe.unit);
    CHECK(header[i + 1] == expected);
  }
  for (std::size_t row = 1; row < lines.size(); ++row) {
    const std::vector<std::string> cells = split(lines[row], ',');
    REQUIRE(cells.size() == header.size());
    CHECK(cells[0] == fmt::format("{}.000", row));
  }
}

TEST_CASE("a trace holds what the probes read: numbers, 0 and 1, states by name") {
  const Scratch scratch;
  OvenAtHand oven;
  TraceCsv trace(scratch / "trace.csv", 10);
  oven.run_s(1.0);
  oven.rig.hands.reset = true;
  for (int scan = 0; scan < 30; ++scan) {
    oven.rig.step();
    trace.observe(oven.rig);
  }
  trace.finish();
  const std::vector<std::string> lines = split(contents(scratch / "trace.csv"), '\n');
  const std::vector<std::string> last = split(lines.back(), ',');
  CHECK(last[0] == "1.300");
  for (std::size_t i = 0; i < rig::probes().size(); ++i) {
    const rig::Probe& probe = rig::probes()[i];
    CAPTURE(std::string(probe.name));
    const double value = probe.read(oven.rig);
    if (probe.kind == rig::ProbeKind::state) {
      CHECK(last[i + 1] == probe.labels[static_cast<std::size_t>(value)]);
    } else if (probe.kind == rig::ProbeKind::boolean) {
      CHECK(last[i + 1] == (value != 0.0 ? "1" : "0"));
    } else {
      CHECK(std::stod(last[i + 1]) == doctest::Approx(value).epsilon(1e-6));
    }
  }
  CHECK(split(lines[1], ',') != last);
}

TEST_CASE("a row comes in the first scan at or after each multiple of the interval") {
  const Scratch scratch;
  const auto times = [&scratch](std::uint32_t every_ms) {
    std::vector<std::string> first_cells;
    for (const std::string& line : split(recorded(scratch / "trace.csv", every_ms), '\n')) {
      first_cells.push_back(line.substr(0, line.find(',')));
    }
    return first_cells;
  };
  CHECK(times(10).size() == 1 + 1'000);
  CHECK(times(100).size() == 1 + 100);
  const std::vector<std::string> odd = times(25);
  CHECK(odd.size() == 1 + 400);
  CHECK(odd[1] == "0.030");
  CHECK(odd[2] == "0.050");
  CHECK(odd[3] == "0.080");
  const std::vector<std::string> sparse = times(3'333);
  REQUIRE(sparse.size() == 1 + 3);
  CHECK(sparse[1] == "3.340");
  CHECK(sparse[2] == "6.670");
  CHECK(sparse[3] == "10.000");
}

TEST_CASE("two traces of the same run are the same bytes") {
  const Scratch scratch;
  const std::string first = recorded(scratch / "first.csv", 100);
  CHECK(first.size() > 10'000);
  CHECK(first == recorded(scratch / "second.csv", 100));
}

TEST_CASE("until it is finished a trace is called .part, and nothing of it stays if it is not") {
  const Scratch scratch;
  OvenAtHand oven;
  {
    TraceCsv trace(scratch / "trace.csv", 10);
    oven.rig.step();
    trace.observe(oven.rig);
    CHECK(fs::exists(scratch / "trace.csv.part"));
    CHECK_FALSE(fs::exists(scratch / "trace.csv"));
  }
  CHECK(scratch.empty());
  {
    TraceCsv trace(scratch / "trace.csv", 10);
    trace.finish();
    CHECK(fs::exists(scratch / "trace.csv"));
    CHECK_FALSE(fs::exists(scratch / "trace.csv.part"));
  }
  CHECK(fs::exists(scratch / "trace.csv"));
}

TEST_CASE("an unfinished trace leaves an older one of that name as it was") {
  const Scratch scratch;
  std::ofstream(scratch / "trace.csv") << "older";
  { const TraceCsv trace(scratch / "trace.csv", 10); }
  CHECK(contents(scratch / "trace.csv") == "older");
}

TEST_CASE("a trace that cannot be written is refused before the run, naming the file") {
  const Scratch scratch;
  fs::create_directory(scratch / "folder");
  for (const fs::path& path :
       {scratch / "no/such.csv", scratch / "folder", fs::path("/proc/trace.csv"), fs::path("")}) {
    CAPTURE(path.string());
    std::optional<std::string> message;
    try {
      const TraceCsv trace(path, 10);
    } catch (const std::runtime_error& error) {
      message = error.what();
    }
    REQUIRE(message);
    CHECK(message->find(path.string()) != std::string::npos);
  }
  CHECK_FALSE(fs::exists(scratch / "folder.part"));
}

TEST_CASE("a full disk is told at the end, and nothing half is left") {
  if (!fs::exists("/dev/full")) return;
  const Scratch scratch;
  fs::create_symlink("/dev/full", scratch / "trace.csv.part");
  OvenAtHand oven;
  {
    std::optional<TraceCsv> trace;
    bool told = false;
    try {
      trace.emplace(scratch / "trace.csv", 10);
      for (int scan = 0; scan < 200; ++scan) {
        oven.rig.step();
        trace->observe(oven.rig);
      }
      trace->finish();
    } catch (const std::runtime_error&) {
      told = true;
    }
    CHECK(told);
  }
  CHECK(scratch.empty());
}

TEST_CASE("a disk that fills up in the middle is told at the end, and nothing half is left") {
  const Scratch scratch;
  // The largest file this process may write, for the time of this test.
  rlimit before{};
  REQUIRE(getrlimit(RLIMIT_FSIZE, &before) == 0);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  rlimit small = before;
  small.rlim_cur = 50'000;
  REQUIRE(setrlimit(RLIMIT_FSIZE, &small) == 0);
  bool told = false;
  try {
    OvenAtHand oven;
    TraceCsv trace(scratch / "trace.csv", 10);
    for (int scan = 0; scan < 1'000; ++scan) {
      oven.rig.step();
      trace.observe(oven.rig);
    }
    trace.finish();
  } catch (const std::runtime_error& error) {
    told = std::string(error.what()).find("trace.csv") != std::string::npos;
  }
  setrlimit(RLIMIT_FSIZE, &before);
  std::signal(SIGXFSZ, handler);
  CHECK(told);
  CHECK(scratch.empty());
}

#include "sim/replay/replay.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <unistd.h>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "property.hpp"
#include "recorder.hpp"
#include "sim/rig/trace_csv.hpp"

namespace {

namespace fs = std::filesystem;
using namespace ovenproof;
using replay::ErrorList;
using replay::ReplayResult;
using replay::Request;

const std::string logs = std::string(SOURCE_DIR) + "/scenarios/logs/";

/// A folder that is gone after the test.
class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / fmt::format("ovenproof-replay-{}", getpid())) {
    fs::remove_all(path_);
    fs::create_directories(path_);
  }
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] fs::path file(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
    return path_ / name;
  }
  [[nodiscard]] const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

std::string contents(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

Request site_request(const fs::path& log) {
  Request request;
  request.log = log;
  request.mapping = logs + "site_mapping.yaml";
  request.properties = {logs + "site_properties.txt"};
  return request;
}

std::variant<ReplayResult, ErrorList> replay_site(const std::string& machine, const fs::path& log) {
  return replay::replay(test::demo_machine(machine), site_request(log), {});
}

ReplayResult good(std::variant<ReplayResult, ErrorList> outcome) {
  if (const auto* errors = std::get_if<ErrorList>(&outcome)) {
    FAIL(machine::to_text(errors->kept().front()));
  }
  return std::get<ReplayResult>(std::move(outcome));
}

ErrorList bad(std::variant<ReplayResult, ErrorList> outcome) {
  REQUIRE(std::holds_alternative<ErrorList>(outcome));
  return std::get<ErrorList>(std::move(outcome));
}

bool mentions(const ErrorList& errors, const std::string& text) {
  return std::any_of(errors.kept().begin(), errors.kept().end(), [&](const machine::Error& error) {
    return machine::to_text(error).find(text) != std::string::npos;
  });
}

/// The first rows of the nominal log, changed.
std::string changed(const std::function<std::string(int, std::string)>& change, int rows = 40) {
  std::string out;
  std::string_view rest;
  const std::string text = contents(logs + "nominal.csv");
  rest = text;
  for (int line = 1; line <= rows && !rest.empty(); ++line) {
    const std::size_t end = rest.find('\n');
    out += change(line, std::string(rest.substr(0, end)));
    rest.remove_prefix(end + 1);
  }
  return out;
}

std::string same(int, std::string row) { return row + '\n'; }

}  // namespace

TEST_CASE("the example logs are what their maker makes, and small") {
  for (const auto& [name, text] : test::example_logs()) {
    CAPTURE(name);
    CHECK(contents(logs + name) == text);
    CHECK(text.size() < 200'000);
  }
}

TEST_CASE("a nominal log in engineering units shows no difference over a whole cycle") {
  const ReplayResult result = good(replay_site("bronze_strip_160", logs + "nominal.csv"));
  CHECK(result.all_holds());
  CHECK(result.outputs.size() == 11);
  CHECK(result.rows_compared > 0.98 * static_cast<double>(result.survey.rows));
  CHECK(result.assumptions.empty());
  CHECK(result.survey.time_format == replay::TimeFormat::iso8601);
}

TEST_CASE("an output with a wiring fault differs from when it begins until it ends") {
  const ReplayResult result = good(replay_site("coil_anneal_300", logs + "wiring_fault.csv"));
  REQUIRE(result.difference_count == 1);
  const replay::Difference& found = result.differences[0].difference;
  CHECK(name_of(found.output) == "board.fan");
  CHECK(found.firmware == 0.0);
  CHECK(found.recorded == 1.0);
  CHECK(found.ended);
  // On from 100 s to 140 s, a row at every change; the clock began two minutes before midnight.
  CHECK(found.from_ms - result.survey.first_ms == 99'990);
  CHECK(std::llabs(found.to_ms - found.from_ms - 40'000) <= 15'000);
  CHECK(result.broken_count == 0);
}

TEST_CASE("a recording that breaks a property is told apart from a firmware that differs") {
  const ReplayResult result = good(replay_site("bronze_strip_160", logs + "passing_valve.csv"));
  CHECK(result.difference_count == 0);
  REQUIRE(result.broken_count == 1);
  CHECK(result.judged[result.broken[0].property].text.find("input.purge_flow") !=
        std::string::npos);
  CHECK_FALSE(result.all_holds());
}

TEST_CASE("gaps start the firmware anew, repeated rows and empty cells are counted") {
  const ReplayResult result = good(replay_site("bronze_strip_160", logs + "irregular.csv"));
  CHECK(result.all_holds());
  CHECK(result.gap_count == 1);
  REQUIRE(result.stretches.size() == 2);
  CHECK(result.stretches[0].in_step_ms.has_value());
  CHECK(result.stretches[1].in_step_ms.has_value());
  CHECK(result.survey.same_time > 0);
  CHECK(result.survey.time_format == replay::TimeFormat::milliseconds);
  const auto empty = [&](const std::string& column) {
    for (std::size_t i = 0; i < result.layout.columns.size(); ++i) {
      if (result.layout.columns[i].mapping.column == column) return result.survey.columns[i].empty;
    }
    return std::uint64_t{0};
  };
  CHECK(empty("Chamber B") > 0);
  CHECK(empty("Chamber A") == 0);
}

TEST_CASE("an excerpt is a log of its own that shows the finding again") {
  const Folder folder;
  for (const auto& [machine, log] : {std::pair{"coil_anneal_300", "wiring_fault.csv"},
                                     std::pair{"bronze_strip_160", "passing_valve.csv"}}) {
    Request request = site_request(logs + log);
    request.out = folder.path() / "found";
    const ReplayResult whole = good(replay::replay(test::demo_machine(machine), request, {}));
    const std::string file =
        whole.differences.empty() ? whole.broken[0].excerpt : whole.differences[0].excerpt;
    REQUIRE(fs::exists(file));
    request.log = file;
    request.out.reset();
    const ReplayResult part = good(replay::replay(test::demo_machine(machine), request, {}));
    CHECK(part.survey.rows < whole.survey.rows);
    REQUIRE(part.difference_count == whole.difference_count);
    CHECK(part.broken_count == whole.broken_count);
    if (whole.difference_count > 0) {
      CHECK(part.differences[0].difference.from_ms == whole.differences[0].difference.from_ms);
    }
  }
  for (const auto& entry : fs::directory_iterator(folder.path() / "found")) {
    CHECK(entry.path().extension() == ".csv");  // nothing half written is left
  }
}

TEST_CASE("any run of a rig, traced at every scan, replays without the least difference") {
  const Folder folder;
  const std::vector<std::string> machines{"bronze_strip_160", "titanium_bracket_90",
                                          "coil_anneal_300"};
  test::check_property(
      20310502,
      [&](std::uint32_t seed) {
        const machine::Machine machine = test::demo_machine(machines[seed % machines.size()]);
        rig::Rig rig(rig::Oven{machine.plant, machine.settings, {}, {}});
        const fs::path path = folder.path() / "trace.csv";
        rig::TraceCsv trace(path, 10);
        std::uint32_t random = seed | 1U;
        for (int i = 0; i < 3000; ++i) {
          random ^= random << 13U;
          random ^= random >> 17U;
          random ^= random << 5U;
          switch (random % 400) {
            case 0:
              rig.hands.door_open = !rig.hands.door_open;
              break;
            case 1:
              rig.hands.start = !rig.hands.start;
              break;
            case 2:
              rig.hands.reset = !rig.hands.reset;
              break;
            case 3:
              rig.hands.estop = random % 1600 < 400;
              break;
            case 4:
              rig.hands.stop = random % 1600 < 400;
              break;
            case 5:
              if (i > 50 && random % 1600 < 400)
                rig.controller_runs() ? rig.power_off() : rig.power_on();
              break;
            default:
              break;
          }
          if (i == 100 || i == 500) rig.hands.reset = i == 100;
          rig.step();
          trace.observe(rig);
        }
        trace.finish();
        Request request;
        request.log = path;
        request.tolerance_ms = 0;
        request.drive_tolerance = 0.0;
        request.from_power_up = true;
        const ReplayResult result = good(replay::replay(machine, request, {}));
        RC_ASSERT(result.difference_count == 0U);
        RC_ASSERT(result.rows_compared == 3000U);
      },
      25);
}

TEST_CASE("a nominal trace replays without a difference through the shipped mapping") {
  const Folder folder;
  const machine::Machine machine = test::demo_machine("coil_anneal_300");
  const fs::path path = folder.path() / "trace.csv";
  rig::TraceCsv trace(path, 10);
  // Two minutes into purging.
  test::run_attended(
      machine, 420.0, [](rig::Rig&) {}, [&](const rig::Rig& rig) { trace.observe(rig); });
  trace.finish();
  Request request;
  request.log = path;
  request.mapping = logs + "trace_mapping.yaml";
  const ReplayResult result = good(replay::replay(machine, request, {}));
  CHECK(result.all_holds());
  CHECK(result.rows_compared == 42'000);
  CHECK(result.unjudged.empty());
}

TEST_CASE("a log with bytes changed, cut or added at random is read or refused, never worse") {
  const Folder folder;
  const std::string text = changed(same, 30);
  const machine::Machine machine = test::demo_machine("bronze_strip_160");
  test::check_property(
      7,
      [&](std::uint32_t seed) {
        std::string broken = text;
        std::uint32_t random = seed | 1U;
        const auto next = [&random] {
          random ^= random << 13U;
          random ^= random >> 17U;
          random ^= random << 5U;
          return random;
        };
        using namespace std::string_view_literals;
        static constexpr std::string_view nasty = "\0\"\n\r,;\t-.e9\xFF\xC3 "sv;
        for (std::uint32_t i = 0, n = 1 + next() % 6; i < n && !broken.empty(); ++i) {
          const std::size_t at = next() % broken.size();
          switch (next() % 4) {
            case 0:
              broken[at] = nasty[next() % nasty.size()];
              break;
            case 1:
              broken.insert(at, 1, nasty[next() % nasty.size()]);
              break;
            case 2:
              broken.erase(at, 1 + next() % 40);
              break;
            default:
              broken.resize(std::max<std::size_t>(at, broken.size() / 2));
              break;
          }
        }
        Request request = site_request(folder.file("broken.csv", broken));
        request.skip_bad_rows = seed % 2 == 0;
        const auto outcome = replay::replay(machine, request, {});
        if (const auto* errors = std::get_if<ErrorList>(&outcome)) {
          RC_ASSERT(!errors->empty());
          RC_ASSERT(errors->kept().size() <= ErrorList::most_kept);
        }
      },
      300);
}

TEST_CASE("each hostile log is refused with the place, what was expected and what was found") {
  const Folder folder;
  struct Case {
    std::string name;
    std::string text;
    std::string expected;
  };
  const auto row = [](int wanted, const std::string& from, const std::string& to) {
    return changed([&](int line, std::string text) {
      if (line == wanted) {
        const std::size_t at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
      }
      return text + '\n';
    });
  };
  const std::string whole = changed(same);
  const std::vector<Case> cases{
      {"empty", "", "expected a CSV file with a header row, found an empty file"},
      {"header_only", changed(same, 1), "expected rows below the header, found none"},
      {"utf16", std::string("\xFF\xFET\0i\0m\0e\0", 10), "found UTF-16 text"},
      {"utf16_bare", std::string("T\0i\0m\0e\0,\0a\0\n\0", 14), "found UTF-16 text"},
      {"binary",
       std::string("\x7F"
                   "ELF\x02\x01\x01\x00\x10\x20,a\n",
                   13),
       "found binary data"},
      {"backwards", row(5, "2031-05-02T", "2030-05-02T"), "backwards.csv:5:1: time: expected"},
      {"no_time", row(5, "2031-05-02T", "next week "), "expected a time such as"},
      {"ragged", row(6, "Z,", "Z,0,"), "ragged.csv:6:1: expected 33 cells, as in the header"},
      {"short", changed([](int line, std::string text) {
         return (line == 6 ? text.substr(0, text.rfind(',')) : text) + '\n';
       }),
       "short.csv:6:1: expected 33 cells, as in the header, found 32"},
      {"cut_off", whole.substr(0, whole.size() - 40), "the file ends in the middle of a row"},
      {"contact", row(7, "Z,0,", "Z,2,"), "contact.csv:7:26: Door 1: expected 0 or 1"},
      {"infinite", changed([](int line, std::string text) {
         return (line == 4 ? text.substr(0, text.rfind(',')) + ",inf" : text) + '\n';
       }),
       "Oxygen: expected a number, found \"inf\""},
      {"quote", row(4, "Z,1,", "Z,\"1,"), "quote.csv:4:26: expected a cell of at most 4096 bytes"},
      {"open_quote", row(40, "Z,1,", "Z,\"1,"), "open_quote.csv:40:26: expected a closing quote"},
      {"stray", row(4, "Z,1,", "Z,1\"x,"), "stray.csv:4:26: expected a quoted cell"},
      {"mapping", row(1, "Door 1", "Dor 1") + "", ""},
  };
  for (const Case& each : cases) {
    CAPTURE(each.name);
    const fs::path path = folder.file(each.name + ".csv", each.text);
    const auto outcome = replay_site("bronze_strip_160", path);
    if (each.expected.empty()) {
      // The mapping assumes what is missing, and the report says so.
      const ReplayResult result = good(outcome);
      REQUIRE(result.layout.missing.size() == 1);
      CHECK(result.layout.missing[0] == "Door 1");
      CHECK(result.assumptions.size() == 1);
      continue;
    }
    const ErrorList errors = bad(outcome);
    CAPTURE(machine::to_text(errors.kept().front()));
    CHECK(mentions(errors, each.expected));
  }
}

TEST_CASE("the same log in another dress replays the same way") {
  const Folder folder;
  const std::string plain = changed(same, 200);
  const ReplayResult expected =
      good(replay_site("bronze_strip_160", folder.file("plain.csv", plain)));
  std::string quoted;
  for (const char c : plain) {
    if (c == ',')
      quoted += "\",\"";
    else if (c == '\n')
      quoted += "\"\r\n\r\n\"";
    else
      quoted += c;
  }
  quoted = "\xEF\xBB\xBF\"" + quoted.substr(0, quoted.size() - 1);
  std::string semicolons = plain;
  for (char& c : semicolons) c = c == ',' ? ';' : c;
  for (const std::string& text : {quoted, semicolons, plain.substr(0, plain.size() - 1)}) {
    const ReplayResult result = good(replay_site("bronze_strip_160", folder.file("b.csv", text)));
    CHECK(result.survey.rows == expected.survey.rows);
    CHECK(result.rows_compared == expected.rows_compared);
    CHECK(result.difference_count == 0);
  }
}

TEST_CASE("a state called none is a value, not an empty cell") {
  const Folder folder;
  const std::string log = changed(
      [](int line, const std::string& row) {
        return row + (line == 1 ? ",first_out" : line == 5 ? ",emergency_stop" : ",none") + '\n';
      },
      200);
  Request request = site_request(folder.file("log.csv", log));
  request.mapping = folder.file("mapping.yaml",
                                contents(logs + "site_mapping.yaml") + "  first_out: first_out\n");
  request.properties = {"never (first_out = emergency_stop for at least 60 s)",
                        "always ((once first_out = emergency_stop) or first_out = none)"};
  const ReplayResult result =
      good(replay::replay(test::demo_machine("bronze_strip_160"), request, {}));
  const auto judged = std::count_if(
      result.judged.begin(), result.judged.end(),
      [](const auto& each) { return each.text.find("first_out") != std::string::npos; });
  CHECK(judged == 2);
  CHECK(result.broken_count == 0);
}

TEST_CASE("errors are counted but only the first ones kept, and bad rows can be left out") {
  const Folder folder;
  const std::string text = changed(
      [](int line, std::string row) {
        if (line > 50) row.replace(0, 4, "####");
        return row + '\n';
      },
      200);
  const fs::path path = folder.file("many.csv", text);
  const ErrorList errors = bad(replay_site("bronze_strip_160", path));
  CHECK(errors.count() == 150);
  CHECK(errors.kept().size() == ErrorList::most_kept);
  CHECK(errors.left_out() == 130);
  Request request = site_request(path);
  request.skip_bad_rows = true;
  const ReplayResult result =
      good(replay::replay(test::demo_machine("bronze_strip_160"), request, {}));
  CHECK(result.survey.rows == 49);
  CHECK(result.rows_skipped == 150);
}

TEST_CASE("a recording that is never in step is no pass") {
  const Folder folder;
  // From the middle of the cycle, where a firmware that has just started cannot be.
  std::string text =
      changed([](int line,
                 std::string row) { return line == 1 || line > 300 ? row + '\n' : std::string(); },
              500);
  const ReplayResult result =
      good(replay_site("bronze_strip_160", folder.file("middle.csv", text)));
  CHECK(result.nothing_compared());
  CHECK_FALSE(result.all_holds());
  REQUIRE(result.stretches.size() == 1);
  CHECK_FALSE(result.stretches[0].never_in_step_by.empty());
}

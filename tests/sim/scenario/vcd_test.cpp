#include <fstream>
#include <map>
#include <sstream>

#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/rig/probes.hpp"
#include "sim/rig/trace_vcd.hpp"

using namespace ovenproof;

namespace {

namespace fs = std::filesystem;

/// Value changes of a VCD, read by the letter of IEEE 1364-2005, section 18: by full name, then by
/// time, values as written.
struct Dump {
  std::map<std::string, std::map<long long, std::string>> changes;
  std::string timescale;

  [[nodiscard]] std::string at(const std::string& name, long long time) const {
    const auto& of = changes.at(name);
    auto after = of.upper_bound(time);
    return after == of.begin() ? "x" : std::prev(after)->second;
  }
};

Dump read_vcd(const fs::path& file) {
  std::ifstream in(file);
  Dump dump;
  std::map<std::string, std::vector<std::string>> names;  // by identifier code
  std::vector<std::string> scope;
  long long time = -1;
  std::string word;
  const auto skip_to_end = [&] {
    std::string rest;
    while (in >> word && word != "$end") rest += (rest.empty() ? "" : " ") + word;
    return rest;
  };
  const auto set = [&](const std::string& code, const std::string& value) {
    REQUIRE(names.contains(code));
    REQUIRE(time >= 0);
    for (const std::string& name : names[code]) dump.changes[name][time] = value;
  };
  while (in >> word) {
    if (word == "$scope") {
      std::string kind;
      in >> kind >> word;
      scope.push_back(word);
      skip_to_end();
    } else if (word == "$upscope") {
      REQUIRE_FALSE(scope.empty());
      scope.pop_back();
      skip_to_end();
    } else if (word == "$var") {
      std::string type;
      std::string width;
      std::string code;
      std::string name;
      in >> type >> width >> code >> name;
      std::string full;
      for (const std::string& each : scope) full += each + ".";
      names[code].push_back(full + name);
      skip_to_end();
    } else if (word == "$timescale") {
      dump.timescale = skip_to_end();
    } else if (word == "$dumpvars" || word == "$end") {
      continue;
    } else if (word[0] == '$') {
      skip_to_end();
    } else if (word[0] == '#') {
      const long long next = std::stoll(word.substr(1));
      REQUIRE(next > time);
      time = next;
    } else if (word[0] == 'r' || word[0] == 'b') {
      std::string code;
      in >> code;
      set(code, word.substr(1));
    } else {
      REQUIRE((word[0] == '0' || word[0] == '1'));
      set(word.substr(1), word.substr(0, 1));
    }
  }
  CHECK(scope.empty());
  return dump;
}

/// Seven seconds around an emergency stop.
void write_trace(const fs::path& file, std::map<long long, std::vector<double>>& rows) {
  rig::TraceVcd trace(file, 100);
  test::play_text("start: in soak\nsteps: [{at: 2 s, estop: pressed}]\nuntil: 5 s\n",
                  [&](const rig::Rig& rig) {
                    trace.observe(rig);
                    if (rig.now_ms() % 100 != 0) return;
                    auto& row = rows[static_cast<long long>(rig.now_ms())];
                    row.resize(rig::probes().size());
                    rig::read_all(rig, row);
                  });
  trace.finish();
}

std::string full_name(const rig::Probe& probe) {
  const std::string name(probe.name);
  return name.find('.') == std::string::npos ? "oven.controller." + name : "oven." + name;
}

double value_of(const rig::Probe& probe, const std::string& written) {
  if (probe.kind == rig::ProbeKind::state)
    return static_cast<double>(std::stoull(written, nullptr, 2));
  return std::stod(written);
}

}  // namespace

TEST_CASE("A value change dump gives every probe back at every time") {
  test::Folder folder;
  std::map<long long, std::vector<double>> rows;
  write_trace(folder.path() / "t.vcd", rows);
  const Dump dump = read_vcd(folder.path() / "t.vcd");
  CHECK(dump.timescale == "1 ms");
  CHECK(rows.size() >= 70);
  CHECK(dump.changes.size() == rig::probes().size());
  for (const auto& [time, row] : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) {
      const rig::Probe& probe = rig::probes()[i];
      CAPTURE(probe.name);
      REQUIRE(value_of(probe, dump.at(full_name(probe), time)) ==
              doctest::Approx(row[i]).epsilon(1e-8));
    }
  }
  CHECK(dump.at("oven.hands.estop", rows.begin()->first) == "0");
  CHECK(dump.at("oven.hands.estop", rows.rbegin()->first) == "1");
}

TEST_CASE("An independent reader of value change dumps finds the same changes") {
  if (test::shell("command -v vcd2fst && command -v fst2vcd").status != 0) {
    MESSAGE("SKIPPED: vcd2fst and fst2vcd are not installed (Debian's package gtkwave)");
    return;
  }
  test::Folder folder;
  const std::string base = (folder.path() / "t").string();
  std::map<long long, std::vector<double>> rows;
  write_trace(base + ".vcd", rows);
  REQUIRE(test::shell("vcd2fst " + base + ".vcd " + base + ".fst > /dev/null 2>&1").status == 0);
  REQUIRE(test::shell("fst2vcd " + base + ".fst -o " + base + "2.vcd > /dev/null 2>&1").status ==
          0);
  const Dump ours = read_vcd(base + ".vcd");
  const Dump theirs = read_vcd(base + "2.vcd");
  for (const rig::Probe& probe : rig::probes()) {
    const std::string name = full_name(probe);
    CAPTURE(name);
    REQUIRE(theirs.changes.contains(name));
    for (const auto& [time, row] : rows) {
      REQUIRE(value_of(probe, theirs.at(name, time)) ==
              doctest::Approx(value_of(probe, ours.at(name, time))).epsilon(1e-8));
    }
  }
}

TEST_CASE("A dump that is not finished leaves no file") {
  test::Folder folder;
  { const rig::TraceVcd trace(folder.path() / "t.vcd", 100); }
  CHECK(fs::is_empty(folder.path()));
}

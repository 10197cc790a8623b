#include <SQLiteCpp/SQLiteCpp.h>
#include <csignal>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <doctest/doctest.h>

#include "generated.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign_store;
using namespace ovenproof::test;

namespace {

bool same(const campaign::Mode& a, const campaign::Mode& b) {
  if (a.realisations.size() != b.realisations.size()) return false;
  for (std::size_t i = 0; i < a.realisations.size(); ++i) {
    const campaign::Realisation& one = a.realisations[i];
    const campaign::Realisation& two = b.realisations[i];
    if (one.onset != two.onset || one.actions.size() != two.actions.size()) return false;
    for (std::size_t k = 0; k < one.actions.size(); ++k) {
      if (one.actions[k].text != two.actions[k].text) return false;
      if (one.actions[k].act.index() != two.actions[k].act.index()) return false;
    }
  }
  return a.id == b.id && a.component == b.component && a.kind == b.kind && a.what == b.what &&
         a.source == b.source && a.note == b.note && a.excluded == b.excluded &&
         a.exclusion_reason == b.exclusion_reason && a.from_file == b.from_file &&
         a.accepted_reason == b.accepted_reason && a.right_first_outs == b.right_first_outs;
}

bool same(const std::vector<campaign::Mode>& a, const std::vector<campaign::Mode>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const auto& one, const auto& two) { return same(one, two); });
}

bool same(const campaign::Instant& a, const campaign::Instant& b) {
  return a.id == b.id && a.scan == b.scan && a.ms == b.ms && a.cycle == b.cycle &&
         a.phase == b.phase;
}

}  // namespace

TEST_CASE("a campaign reads back as it was written, member by member") {
  for (const std::uint64_t seed : {1, 2, 3, 4}) {
    CAPTURE(seed);
    const Folder folder;
    const Generated all = generate(seed);
    write_whole(folder / "c.db", all);
    CHECK(folder.names() == std::vector<std::string>{"c.db"});
    const Stored read_back = read(folder / "c.db");
    CHECK(read_back.complete);
    CHECK(differences(read_back.inputs, all.inputs).empty());
    CHECK(read_back.inputs.machine_text == all.inputs.machine_text);
    CHECK(read_back.inputs.shard == Shard{});
    CHECK(same(read_back.plan.modes, all.plan.modes));
    CHECK(same(read_back.plan.demands, all.plan.demands));
    CHECK(std::equal(read_back.plan.instants.begin(), read_back.plan.instants.end(),
                     all.plan.instants.begin(), all.plan.instants.end(),
                     [](const auto& a, const auto& b) { return same(a, b); }));
    CHECK(read_back.plan.injections == all.plan.injections);
    CHECK(read_back.plan.singles == all.plan.singles);
    CHECK(read_back.results == all.results);
  }
}

TEST_CASE("the file's bytes depend on the inputs alone: not on the order of results, nor on when") {
  const Folder folder;
  const Generated all = generate(5, 20, 15, 400);
  write_whole(folder / "a.db", all, {}, 1);
  for (const std::uint64_t seed : {2, 3, 4}) {
    const std::string name = "b" + std::to_string(seed) + ".db";
    write_whole(folder / name, all, {}, seed);
    CHECK(bytes_of(folder / "a.db") == bytes_of(folder / name));
  }
  Generated other = all;
  other.results[17].scans += 1;
  write_whole(folder / "other.db", other);
  CHECK(bytes_of(folder / "a.db") != bytes_of(folder / "other.db"));
}

TEST_CASE("a run that stopped goes on where it was, and ends with the same bytes") {
  const Folder folder;
  const Generated all = generate(6, 20, 10, 200);
  write_whole(folder / "whole.db", all);
  const std::vector<std::uint64_t> order = shuffled(all, {}, 9);
  // Three runs: the first stops among the single failures, the second among the pairs.
  const std::size_t first = 70;
  const std::size_t second = all.plan.singles + 50;
  {
    WorkingFile file(folder / "c.db", all.inputs, all.singles,
                     true);  // nothing to go on with: begins
    CHECK(file.found().empty());
    for (std::size_t i = 0; i < first; ++i) file.add(all.results[i]);
  }
  CHECK(std::filesystem::exists(folder / "c.db.part"));
  CHECK_FALSE(std::filesystem::exists(folder / "c.db"));
  {
    WorkingFile file(folder / "c.db", all.inputs, all.singles, true);
    REQUIRE(file.found().size() == first);
    CHECK(std::equal(file.found().begin(), file.found().end(), all.results.begin()));
    for (std::size_t i = all.plan.singles; i > first; --i) file.add(all.results[i - 1]);
    file.add_pairs(all.plan);
    for (std::size_t i = all.plan.singles; i < second; ++i) file.add(all.results[i]);
  }
  {
    WorkingFile file(folder / "c.db", all.inputs, all.singles, true);
    CHECK(file.found().size() == second);
    CHECK_FALSE(file.finished());
    file.add_pairs(all.plan);
    for (std::size_t i = second; i < all.results.size(); ++i) file.add(all.results[i]);
    file.finish();
  }
  CHECK(bytes_of(folder / "c.db") == bytes_of(folder / "whole.db"));
  CHECK(folder.names() == std::vector<std::string>{"c.db", "whole.db"});
  // Once more finds it done, and touches nothing.
  WorkingFile file(folder / "c.db", all.inputs, all.singles, true);
  CHECK(file.finished());
  CHECK(file.found() == all.results);
  CHECK(bytes_of(folder / "c.db") == bytes_of(folder / "whole.db"));
}

TEST_CASE("an interrupted file can be read, and says that it is not complete") {
  const Folder folder;
  const Generated all = generate(7);
  {
    WorkingFile file(folder / "c.db", all.inputs, all.singles, false);
    file.add(all.results[3]);
    file.add(all.results[1]);
    file.flush();
    CHECK(error_of([&] { (void)read(folder / "c.db.part"); }).find("another process") !=
          std::string::npos);
  }
  const Stored part = read(folder / "c.db.part");
  CHECK_FALSE(part.complete);
  REQUIRE(part.results.size() == 2);
  CHECK(part.results[0] == all.results[1]);
  CHECK(part.results[1] == all.results[3]);
}

TEST_CASE("a file that is there is not overwritten, nor an interrupted one begun anew, unasked") {
  const Folder folder;
  const Generated all = generate(8);
  write_whole(folder / "c.db", all);
  const std::string before = bytes_of(folder / "c.db");
  CHECK(error_of([&] { write_whole(folder / "c.db", all); }).find("is there already") !=
        std::string::npos);
  CHECK(bytes_of(folder / "c.db") == before);
  { const WorkingFile file(folder / "d.db", all.inputs, all.singles, false); }
  CHECK(error_of([&] { write_whole(folder / "d.db", all); }).find("--resume goes on with it") !=
        std::string::npos);
}

TEST_CASE("a run does not go on with what was made from other inputs, and tells each difference") {
  const Folder folder;
  const Generated all = generate(9);
  write_whole(folder / "done.db", all);
  { const WorkingFile file(folder / "begun.db", all.inputs, all.singles, false); }
  const auto told = [&](const std::string& name, const Inputs& inputs) {
    return error_of([&] { const WorkingFile file(folder / name, inputs, all.singles, true); });
  };
  for (const std::string name : {"done.db", "begun.db"}) {
    CAPTURE(name);
    CHECK(told(name, all.inputs).empty());
    Inputs other = all.inputs;
    other.machine_sha256 = std::string(64, 'd');
    other.build = std::string(64, 'e');
    other.options.seed += 1;
    other.options.instants += 1;
    other.pairs = false;
    other.shard = {2, 3};
    const std::string text = told(name, other);
    for (const char* const part :
         {"machine file: aaaaaaaaaaaaaaaa..., here dddddddddddddddd", "build of the program",
          "seed", "instants", "pairs: true, here false", "shard 1/1, here 2/3"}) {
      CAPTURE(part);
      CHECK(text.find(part) != std::string::npos);
    }
    Inputs plan = all.inputs;
    plan.inputs_sha256 = std::string(64, 'f');
    CHECK(told(name, plan).find("SHA-256 of the plan") != std::string::npos);
  }
}

TEST_CASE("two processes do not work on one file at a time") {
  const Folder folder;
  const Generated all = generate(10);
  WorkingFile file(folder / "c.db", all.inputs, all.singles, false);
  CHECK(error_of([&] {
          const WorkingFile other(folder / "c.db", all.inputs, all.singles, true);
        }).find("another process is working on it") != std::string::npos);
}

TEST_CASE("a folder that is not there or may not be written is refused before anything is run") {
  const Folder folder;
  const Generated all = generate(11);
  const auto told = [&](const std::filesystem::path& path) {
    return error_of([&] { const WorkingFile file(path, all.inputs, all.singles, false); });
  };
  CHECK(told(folder / "nowhere" / "c.db").find("cannot be opened") != std::string::npos);
  CHECK(told(folder.path()).find("is there already") != std::string::npos);
  // Root may write anywhere, so the test hands its rights down for a moment.
  const bool root = ::geteuid() == 0;
  if (root) REQUIRE(::seteuid(65534) == 0);
  const std::string text = told(folder / "c.db");
  if (root) REQUIRE(::seteuid(0) == 0);
  if (root) CHECK(text.find("cannot be opened") != std::string::npos);
  CHECK(folder.names().empty());
}

TEST_CASE("a disk that fills up is told, loses nothing, and the run goes on when there is room") {
  const Folder folder;
  const Generated all = generate(12, 30, 20, 2000);
  write_whole(folder / "whole.db", all);
  const auto run = [&] {
    return error_of([&] {
      WorkingFile file(folder / "c.db", all.inputs, all.singles, true);
      if (file.finished()) return;
      file.add_pairs(all.plan);
      std::vector<bool> there(all.results.size());
      for (const campaign::Result& each : file.found()) there[each.number] = true;
      for (const campaign::Result& each : all.results) {
        if (!there[each.number]) file.add(each);
        if (each.number % 50 == 0) file.flush();
      }
      file.finish();
    });
  };
  // No file may grow beyond the limit: what a full disk is to SQLite, at a place of our choosing.
  const auto size = static_cast<rlim_t>(std::filesystem::file_size(folder / "whole.db"));
  rlimit unlimited{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &unlimited) == 0);
  const auto before = std::signal(SIGXFSZ, SIG_IGN);
  std::size_t failures = 0;
  for (const rlim_t percent : {2, 30, 60, 90, 97}) {
    CAPTURE(percent);
    rlimit limit = unlimited;
    limit.rlim_cur = size * percent / 100;
    REQUIRE(::setrlimit(RLIMIT_FSIZE, &limit) == 0);
    const std::string text = run();
    REQUIRE(::setrlimit(RLIMIT_FSIZE, &unlimited) == 0);
    if (text.empty()) continue;
    ++failures;
    CHECK(text.find("nothing that was written is lost") != std::string::npos);
    CHECK_FALSE(std::filesystem::exists(folder / "c.db"));
    CHECK_FALSE(std::filesystem::exists(folder / "c.db.whole"));
  }
  std::signal(SIGXFSZ, before);
  CHECK(failures == 5);
  CHECK(run().empty());
  CHECK(bytes_of(folder / "c.db") == bytes_of(folder / "whole.db"));
}

TEST_CASE("the view for people joins names to numbers") {
  const Folder folder;
  const Generated all = generate(13);
  write_whole(folder / "c.db", all);
  SQLite::Database database((folder / "c.db").string(), SQLite::OPEN_READONLY);
  CHECK(database.execAndGet("SELECT count(*) FROM outcome").getInt() ==
        static_cast<int>(all.results.size()));
  const std::size_t pair = all.plan.singles + 2;
  const campaign::Injection& injection = all.plan.injections[pair];
  SQLite::Statement query(database,
                          "SELECT mode, instant, second_mode, outcome FROM outcome "
                          "WHERE number = ?");
  query.bind(1, static_cast<std::int64_t>(pair));
  REQUIRE(query.executeStep());
  CHECK(query.getColumn(0).getString() == all.plan.modes[injection.mode].id);
  CHECK(query.getColumn(1).getString() == all.plan.instants[injection.instant].id);
  const auto& seconds = injection.second->demand ? all.plan.demands : all.plan.modes;
  CHECK(query.getColumn(2).getString() == seconds[injection.second->mode].id);
  CHECK(query.getColumn(3).getString() == std::string(name(all.results[pair].outcome)));
}

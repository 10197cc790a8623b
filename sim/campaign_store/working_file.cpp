#include "sim/campaign_store/working_file.hpp"

#include <chrono>
#include <fcntl.h>
#include <system_error>
#include <unistd.h>

#include <fmt/format.h>

#include "sim/campaign_store/rows.hpp"
#include "sim/campaign_store/schema.hpp"

namespace ovenproof::campaign_store {

namespace fs = std::filesystem;

namespace {

using Kind = StoreError::Kind;
using Clock = std::chrono::steady_clock;

/// So much is lost at most when the process is killed. Each commit waits for the disk.
constexpr std::chrono::seconds commit_interval{1};

[[noreturn]] void refuse(Kind kind, const fs::path& path, std::string_view what) {
  throw StoreError(kind, {fmt::format("{}: {}", path.string(), what)});
}

void refuse_differences(const fs::path& path, const Inputs& stored, const Inputs& here) {
  std::vector<std::string> lines;
  for (const std::string& each : differences(stored, here)) {
    lines.push_back(fmt::format("{}: made from other inputs: {}", path.string(), each));
  }
  if (stored.shard != here.shard) {
    lines.push_back(fmt::format("{}: made as shard {}/{}, here {}/{}", path.string(),
                                stored.shard.index, stored.shard.count, here.shard.index,
                                here.shard.count));
  }
  if (!lines.empty()) throw StoreError(Kind::unusable, lines);
}

/// What was written to the file, or a renamed name in the folder, is on the disk from here on.
void synchronise(const fs::path& path) {
  const int handle = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  const bool done = handle >= 0 && ::fsync(handle) == 0;
  const int reason = errno;
  if (handle >= 0) ::close(handle);
  if (!done) refuse(Kind::failed, path, std::generic_category().message(reason));
}

void synchronise_folder_of(const fs::path& path) {
  const fs::path folder = path.parent_path();
  synchronise(folder.empty() ? fs::path(".") : folder);
}

void discard(const fs::path& path) {
  std::error_code failure;
  fs::remove(path, failure);
  if (failure) refuse(Kind::failed, path, failure.message());
}

/// False, too, where one may not look: opening it will tell why.
bool is_there(const fs::path& path) {
  std::error_code ignored;
  return fs::exists(path, ignored);
}

/// The file's name with something behind it.
fs::path beside(const fs::path& path, std::string_view suffix) {
  return path.string() + std::string(suffix);
}

}  // namespace

struct WorkingFile::Database {
  explicit Database(const fs::path& path) : handle(open_working(path)) {}

  void transaction() {
    if (open) return;
    handle.exec("BEGIN");
    open = true;
    begun = Clock::now();
  }
  void commit() {
    if (!open) return;
    handle.exec("COMMIT");
    open = false;
  }

  SQLite::Database handle;
  std::optional<ResultWriter> writer;
  bool open = false;
  Clock::time_point begun;
};

WorkingFile::WorkingFile(fs::path path, const Inputs& inputs, const campaign::Plan& plan,
                         bool resume)
    : path_(std::move(path)), part_(beside(path_, ".part")), shard_(inputs.shard) {
  if (is_there(path_)) {
    if (!resume) {
      refuse(Kind::unusable, path_,
             "is there already: choose another name, remove it, or --resume");
    }
    Stored stored = read(path_);
    refuse_differences(path_, stored.inputs, inputs);
    if (!stored.complete) refuse(Kind::unusable, path_, "not complete, and not a run's own file");
    found_ = std::move(stored.results);
    remove_working();  // of a run that was killed between renaming and this
    return;
  }
  if (!resume && is_there(part_)) {
    refuse(Kind::unusable, part_,
           "an interrupted campaign: --resume goes on with it; remove it to begin again");
  }
  database_ = std::make_unique<Database>(part_);
  guarded(part_, [&] {
    if (is_empty(database_->handle)) {
      begin(inputs, plan);
    } else {
      go_on(inputs);
    }
    database_->writer.emplace(database_->handle);
  });
}

WorkingFile::~WorkingFile() {
  try {
    flush();
  } catch (const std::exception&) {  // what was not kept is simulated again
  }
}

void WorkingFile::begin(const Inputs& inputs, const campaign::Plan& plan) {
  SQLite::Database& handle = database_->handle;
  // A file that a killed run left empty and this one are the same to the byte.
  handle.exec("PRAGMA page_size = 4096");
  handle.exec("BEGIN");
  create_schema(handle);
  write_inputs(handle, inputs, plan);
  write_modes(handle, plan);
  write_instants(handle, plan);
  write_injections(handle, plan, 0);
  handle.exec("COMMIT");
}

void WorkingFile::go_on(const Inputs& inputs) {
  check(database_->handle, part_);
  refuse_differences(part_, read_inputs(database_->handle, part_).inputs, inputs);
  found_ = read_results(database_->handle, part_);
}

void WorkingFile::add_pairs(const campaign::Plan& plan) {
  guarded(part_, [&] {
    flush();
    database_->transaction();
    write_injections(database_->handle, plan, plan.singles);
    flush();
  });
}

void WorkingFile::add(const campaign::Result& result) {
  guarded(part_, [&] {
    database_->transaction();
    database_->writer->write(result);
    if (Clock::now() - database_->begun >= commit_interval) database_->commit();
  });
}

void WorkingFile::flush() {
  if (database_ != nullptr) guarded(part_, [&] { database_->commit(); });
}

void WorkingFile::finish() {
  const fs::path whole = beside(path_, ".whole");
  guarded(part_, [&] {
    flush();
    SQLite::Database& handle = database_->handle;
    handle.exec("BEGIN");
    for (const char* const table : {"hazard_hit", "result"}) {
      SQLite::Statement drop(handle, fmt::format("DELETE FROM {} WHERE number % ? <> ?", table));
      drop.bind(1, shard_.count);
      drop.bind(2, shard_.index - 1);
      drop.exec();
    }
    handle.exec("UPDATE campaign SET complete = 1");
    handle.exec("COMMIT");
  });
  discard(whole);
  try {
    guarded(whole, [&] {
      // Rows in the order of their keys into a fresh file: whatever happened here, the same pages.
      SQLite::Statement copy(database_->handle, "VACUUM INTO ?");
      copy.bind(1, whole.string());
      copy.exec();
    });
    synchronise(whole);
  } catch (const StoreError&) {
    std::error_code ignored;
    fs::remove(whole, ignored);
    throw;
  }
  std::error_code failure;
  fs::rename(whole, path_, failure);
  if (failure) refuse(Kind::failed, path_, failure.message());
  synchronise_folder_of(path_);
  database_.reset();
  remove_working();
}

void WorkingFile::abandon() {
  database_.reset();
  remove_working();
}

void WorkingFile::remove_working() const {
  discard(part_);
  discard(beside(part_, "-journal"));
}

}  // namespace ovenproof::campaign_store

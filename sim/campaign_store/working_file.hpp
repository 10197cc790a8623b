#pragma once
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

#include "sim/campaign_store/stored.hpp"

namespace ovenproof::campaign_store {

/// A campaign's file in the making. Results go to `<path>.part`, in whatever order they come, and a
/// process that is killed at any instant loses none but those of the last second. When all are
/// there, they are written in the order of the plan to a fresh file that is renamed to `path`: its
/// bytes depend on the inputs alone.
///
/// One process works on it at a time. Everything may throw StoreError.
class WorkingFile {
 public:
  /// Begins the file, or, if `resume`, goes on with what an interrupted run left; then plan and
  /// inputs must be those of that run. Refuses what is there already unless `resume`.
  WorkingFile(std::filesystem::path path, const Inputs& inputs, const campaign::Plan& plan,
              bool resume);
  WorkingFile(const WorkingFile&) = delete;
  WorkingFile& operator=(const WorkingFile&) = delete;
  ~WorkingFile();

  /// What there is: after a resume, the results of the runs before; by number.
  [[nodiscard]] const std::vector<campaign::Result>& found() const { return found_; }

  /// True if the file was complete before: there is nothing to do.
  [[nodiscard]] bool finished() const { return database_ == nullptr; }

  /// The pairs of the plan, when the single failures have been run.
  void add_pairs(const campaign::Plan& plan);

  /// Keeps a result, at once or within a second.
  void add(const campaign::Result& result);

  /// Keeps what was added, whatever comes next.
  void flush();

  /// Drops what the shard does not hold, and puts the whole file in its place.
  void finish();

  /// Removes what there is of an unfinished file.
  void abandon();

 private:
  struct Database;

  void begin(const Inputs& inputs, const campaign::Plan& plan);
  void go_on(const Inputs& inputs);
  void remove_working() const;

  std::filesystem::path path_;
  std::filesystem::path part_;
  Shard shard_;
  std::vector<campaign::Result> found_;
  std::unique_ptr<Database> database_;
};

}  // namespace ovenproof::campaign_store

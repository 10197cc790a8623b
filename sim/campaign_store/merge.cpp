#include <algorithm>
#include <optional>

#include <fmt/format.h>

#include "sim/campaign_store/working_file.hpp"

namespace ovenproof::campaign_store {

namespace fs = std::filesystem;

namespace {

/// Collects what is wrong with the parts, and what is right.
class Merger {
 public:
  void take(const fs::path& path) {
    try {
      Stored part = read(path);
      if (!part.complete) complain(path, "not complete: its run was interrupted (--resume)");
      if (!first_) {
        first_path_ = path;
        const std::uint32_t count = part.inputs.shard.count;
        from_.resize(count);
        place(path, part);
        first_ = std::move(part);
      } else {
        compare(path, part);
        place(path, part);
        std::move(part.results.begin(), part.results.end(), std::back_inserter(first_->results));
      }
    } catch (const StoreError& error) {
      errors_.insert(errors_.end(), error.lines().begin(), error.lines().end());
    }
  }

  /// All results together. Throws if anything was wrong.
  Stored whole() && {
    std::string missing;
    for (std::size_t i = 0; i < from_.size(); ++i) {
      if (from_[i].empty()) {
        missing += fmt::format("{}{}/{}", missing.empty() ? "" : ", ", i + 1, from_.size());
      }
    }
    if (!missing.empty()) errors_.push_back(fmt::format("missing: shard {}", missing));
    if (!errors_.empty()) throw StoreError(StoreError::Kind::unusable, errors_);
    std::sort(first_->results.begin(), first_->results.end(),
              [](const auto& a, const auto& b) { return a.number < b.number; });
    first_->inputs.shard = {};
    return std::move(*first_);
  }

 private:
  void complain(const fs::path& path, std::string_view what) {
    errors_.push_back(fmt::format("{}: {}", path.string(), what));
  }

  void compare(const fs::path& path, const Stored& part) {
    for (const std::string& each : differences(first_->inputs, part.inputs)) {
      complain(path, fmt::format("other inputs than {}: {}", first_path_.string(), each));
    }
    const bool same_plan = first_->plan.injections == part.plan.injections;
    if (!same_plan && differences(first_->inputs, part.inputs).empty()) {
      complain(path,
               fmt::format("another plan than {}, from the same inputs", first_path_.string()));
    }
  }

  void place(const fs::path& path, const Stored& part) {
    const Shard shard = part.inputs.shard;
    if (shard.count != from_.size()) {
      complain(path, fmt::format("shard {}/{}, but {} is one of {}", shard.index, shard.count,
                                 first_path_.string(), from_.size()));
      return;
    }
    fs::path& from = from_[shard.index - 1];
    if (!from.empty()) {
      complain(path, fmt::format("shard {}/{}, as is {}", shard.index, shard.count, from.string()));
    }
    from = path;
  }

  std::optional<Stored> first_;
  fs::path first_path_;
  std::vector<fs::path> from_;
  std::vector<std::string> errors_;
};

}  // namespace

Stored merge(const fs::path& out, const std::vector<fs::path>& parts) {
  Merger merger;
  for (const fs::path& part : parts) merger.take(part);
  Stored whole = std::move(merger).whole();
  WorkingFile file(out, whole.inputs, whole.plan, false);
  try {
    for (const campaign::Result& result : whole.results) file.add(result);
    file.finish();
  } catch (const StoreError&) {
    file.abandon();
    throw;
  }
  whole.complete = true;
  return whole;
}

}  // namespace ovenproof::campaign_store

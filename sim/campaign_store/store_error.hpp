#pragma once
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace ovenproof::campaign_store {

/// Why a campaign's file cannot be had or made: a line for each mistake, each naming the file.
class StoreError : public std::runtime_error {
 public:
  enum class Kind {
    unusable,  ///< the file, or where it should be: the user's to put right
    failed     ///< writing failed on the way, as on a full disk
  };
  StoreError(Kind kind, std::vector<std::string> lines)
      : std::runtime_error(lines.empty() ? "" : lines.front()),
        kind_(kind),
        lines_(std::move(lines)) {}
  [[nodiscard]] Kind kind() const { return kind_; }
  [[nodiscard]] const std::vector<std::string>& lines() const { return lines_; }

 private:
  Kind kind_;
  std::vector<std::string> lines_;
};

}  // namespace ovenproof::campaign_store

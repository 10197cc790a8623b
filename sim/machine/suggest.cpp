#include "sim/machine/suggest.hpp"

#include <algorithm>

namespace ovenproof::machine {

int edit_distance(std::string_view from, std::string_view to) {
  std::vector<int> before(to.size() + 1);
  std::vector<int> last(to.size() + 1);
  std::vector<int> now(to.size() + 1);
  for (std::size_t j = 0; j <= to.size(); ++j) last[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= from.size(); ++i) {
    now[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= to.size(); ++j) {
      const int replace = last[j - 1] + (from[i - 1] == to[j - 1] ? 0 : 1);
      now[j] = std::min({replace, last[j] + 1, now[j - 1] + 1});
      if (i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1]) {
        now[j] = std::min(now[j], before[j - 2] + 1);
      }
    }
    before.swap(last);
    last.swap(now);
  }
  return last[to.size()];
}

std::string nearest(std::string_view word, const std::vector<std::string>& candidates) {
  constexpr std::size_t longest_word = 64;  // hostile keys can be long; nothing near them is meant
  if (word.size() > longest_word) return {};
  std::string best;
  int best_distance = 0;
  for (const std::string& candidate : candidates) {
    const int distance = edit_distance(word, candidate);
    const int longer = static_cast<int>(std::max(word.size(), candidate.size()));
    // A third of the letters may be wrong, in short words one; never all of them.
    const int allowed = std::min(std::max(1, longer / 3), longer - 1);
    if (distance <= allowed && (best.empty() || distance < best_distance)) {
      best = candidate;
      best_distance = distance;
    }
  }
  return best;
}

}  // namespace ovenproof::machine

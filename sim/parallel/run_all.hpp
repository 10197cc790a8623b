#pragma once
#include <cstddef>
#include <functional>
#include <vector>

namespace ovenproof::parallel {

/// Runs all tasks on up to `jobs` threads and returns when all are done. Tasks must not share what
/// they write. If some throw, the exception of the first of them in order is thrown again, after
/// all have ended.
///
/// `finished`, where there is one, is called with the number of tasks done, one call at a time.
void run_all(const std::vector<std::function<void()>>& tasks, unsigned jobs,
             const std::function<void(std::size_t done)>& finished = {});

}  // namespace ovenproof::parallel

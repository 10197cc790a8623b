#include "sim/parallel/run_all.hpp"

#include <algorithm>
#include <exception>
#include <mutex>

#include <boost/asio/post.hpp>
#include <boost/asio/thread_pool.hpp>

namespace ovenproof::parallel {

void run_all(const std::vector<std::function<void()>>& tasks, unsigned jobs,
             const std::function<void(std::size_t done)>& finished) {
  std::mutex counting;
  std::size_t done = 0;
  std::vector<std::exception_ptr> thrown(tasks.size());
  boost::asio::thread_pool pool(std::max(1U, jobs));
  for (std::size_t i = 0; i < tasks.size(); ++i) {
    boost::asio::post(pool, [&, i] {
      try {
        tasks[i]();
      } catch (...) {
        thrown[i] = std::current_exception();
      }
      if (!finished) return;
      const std::lock_guard one_at_a_time(counting);
      finished(++done);
    });
  }
  pool.join();
  for (const std::exception_ptr& each : thrown) {
    if (each) std::rethrow_exception(each);
  }
}

}  // namespace ovenproof::parallel

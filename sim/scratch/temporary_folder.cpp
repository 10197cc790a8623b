#include "sim/scratch/temporary_folder.hpp"

#include <csignal>
#include <cstdlib>
#include <fcntl.h>
#include <mutex>
#include <set>
#include <stdexcept>
#include <thread>
#include <unistd.h>

namespace ovenproof::scratch {
namespace fs = std::filesystem;
namespace {

/// All that are there. The watcher holds the lock while it removes them and ends the process.
struct Registry {
  std::mutex lock;
  std::set<fs::path> folders;
};

Registry& registry() {
  static Registry& all = *new Registry;  // the watcher may need it while statics are destroyed
  return all;
}

/// Files may still be made in the folder while it is being removed.
void remove_whole(const fs::path& folder) {
  for (int attempt = 0; attempt < 10; ++attempt) {
    std::error_code failure;
    fs::remove_all(folder, failure);
    if (!failure) return;
  }
}

/// Whoever is still at work finds its files gone; its complaints would only confuse.
void silence() {
  const int nothing = ::open("/dev/null", O_WRONLY | O_CLOEXEC);
  if (nothing >= 0) ::dup2(nothing, STDERR_FILENO);
}

void end_by(int signal) {
  std::signal(signal, SIG_DFL);
  sigset_t only;
  sigemptyset(&only);
  sigaddset(&only, signal);
  pthread_sigmask(SIG_UNBLOCK, &only, nullptr);
  std::raise(signal);
}

/// The signals that end the process, but for those that it was started to ignore.
sigset_t watched() {
  sigset_t set;
  sigemptyset(&set);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
    struct sigaction now {};
    if (sigaction(signal, nullptr, &now) == 0 && now.sa_handler == SIG_DFL) sigaddset(&set, signal);
  }
  return set;
}

/// Waits for a signal in a thread of its own, where, unlike in a handler, files may be removed.
/// Threads made from now on leave these signals to it.
void watch() {
  static const bool watching = [] {
    const sigset_t signals = watched();
    pthread_sigmask(SIG_BLOCK, &signals, nullptr);
    std::thread([signals] {
      int signal = 0;
      if (sigwait(&signals, &signal) != 0) return;
      Registry& all = registry();
      const std::lock_guard held(all.lock);
      silence();
      for (const fs::path& folder : all.folders) remove_whole(folder);
      end_by(signal);
    }).detach();
    return true;
  }();
  static_cast<void>(watching);
}

}  // namespace

TemporaryFolder::TemporaryFolder(const fs::path& parent, const std::string& prefix) {
  watch();
  std::string name = (parent / (prefix + "XXXXXX")).string();
  Registry& all = registry();
  const std::lock_guard held(all.lock);
  if (::mkdtemp(name.data()) == nullptr) {
    throw std::runtime_error("cannot make a folder in " + parent.string());
  }
  path_ = fs::absolute(name);
  all.folders.insert(path_);
}

TemporaryFolder::~TemporaryFolder() {
  if (path_.empty()) return;
  Registry& all = registry();
  const std::lock_guard held(all.lock);
  remove_whole(path_);
  all.folders.erase(path_);
}

void TemporaryFolder::become(const fs::path& target) {
  Registry& all = registry();
  const std::lock_guard held(all.lock);
  if (fs::exists(target)) fs::remove_all(target);
  fs::rename(path_, target);
  all.folders.erase(path_);
  path_.clear();
}

}  // namespace ovenproof::scratch

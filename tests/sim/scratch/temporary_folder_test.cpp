#include "sim/scratch/temporary_folder.hpp"

#include <csignal>
#include <fstream>
#include <optional>
#include <string>
#include <sys/wait.h>
#include <unistd.h>

#include <doctest/doctest.h>

namespace ovenproof::scratch {
namespace {

namespace fs = std::filesystem;

/// Where the folders of a test are made.
class Parent {
 public:
  Parent()
      : path_(fs::temp_directory_path() / ("ovenproof_scratch_" + std::to_string(::getpid()))) {
    fs::create_directories(path_);
  }
  Parent(const Parent&) = delete;
  Parent& operator=(const Parent&) = delete;
  ~Parent() { fs::remove_all(path_); }
  [[nodiscard]] const fs::path& path() const { return path_; }
  [[nodiscard]] bool empty() const { return fs::is_empty(path_); }

 private:
  fs::path path_;
};

void fill(const fs::path& folder) {
  fs::create_directories(folder / "below");
  std::ofstream(folder / "below" / "file") << "text";
}

/// How a process that makes a folder, sends itself the signal and waits ends.
int status_after(int signal, const fs::path& parent, bool ignored = false) {
  const pid_t child = ::fork();
  if (child == 0) {
    std::signal(signal, ignored ? SIG_IGN : SIG_DFL);
    const TemporaryFolder folder(parent, "work-");
    fill(folder.path());
    ::kill(::getpid(), signal);
    for (int i = 0; i < (ignored ? 2 : 100); ++i) ::usleep(100'000);
    ::_exit(0);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  return status;
}

TEST_CASE(
    "a signal that ends the process removes the folder, and ends it as if nothing caught it") {
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
    CAPTURE(signal);
    const Parent parent;
    const int status = status_after(signal, parent.path());
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == signal);
    CHECK(parent.empty());
  }
}

TEST_CASE("a signal that the process was started to ignore is ignored") {
  const Parent parent;
  const int status = status_after(SIGINT, parent.path(), true);
  CHECK(WIFEXITED(status));
  CHECK_FALSE(parent.empty());
}

TEST_CASE("a folder goes with its object, unless it took the place of another") {
  const Parent parent;
  {
    const TemporaryFolder folder(parent.path(), "work-");
    fill(folder.path());
  }
  CHECK(parent.empty());
  fill(parent.path() / "old");
  {
    TemporaryFolder folder(parent.path(), "work-");
    std::ofstream(folder.path() / "new") << "text";
    folder.become(parent.path() / "old");
  }
  CHECK(fs::exists(parent.path() / "old" / "new"));
  CHECK_FALSE(fs::exists(parent.path() / "old" / "below"));
}

TEST_CASE("a folder that cannot be made is an error") {
  CHECK_THROWS_AS(TemporaryFolder("/no/such/folder", "work-"), std::runtime_error);
}

}  // namespace
}  // namespace ovenproof::scratch

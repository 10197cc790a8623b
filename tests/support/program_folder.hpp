#pragma once
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <sys/wait.h>
#include <unistd.h>
#include <utility>

#include <doctest/doctest.h>
#include <fmt/format.h>

/// The real program, started as users start it.
namespace ovenproof::test {

/// All bytes of a file; nothing if it is not there.
inline std::string contents(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

struct ProgramRun {
  int status = -1;
  std::string out;
  std::string err;
};

/// A folder of its own for the runs of a test case, so that anything written there is seen. The
/// test defines PROGRAM, the path of the program. One of a name at a time in a process.
class ProgramFolder {
 public:
  /// `subcommand`: what every run begins with; may be empty.
  ProgramFolder(const std::string& name, std::string subcommand)
      : path_(std::filesystem::temp_directory_path() /
              fmt::format("ovenproof-{}-{}", name, getpid())),
        subcommand_(std::move(subcommand)) {
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(work());
  }
  ~ProgramFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  ProgramFolder(const ProgramFolder&) = delete;
  ProgramFolder& operator=(const ProgramFolder&) = delete;

  /// Runs it in work() with these arguments, quoted for a shell by the caller, after settings of
  /// the environment.
  [[nodiscard]] ProgramRun run(const std::string& arguments,
                               const std::string& environment = "") const {
    const std::string command =
        fmt::format("cd '{0}/work' && {1} '{2}' {3} {4} >'{0}/out' 2>'{0}/err' </dev/null",
                    path_.string(), environment, PROGRAM, subcommand_, arguments);
    const int raw = std::system(command.c_str());
    REQUIRE(WIFEXITED(raw));
    return {WEXITSTATUS(raw), contents(path_ / "out"), contents(path_ / "err")};
  }

  [[nodiscard]] std::filesystem::path work() const { return path_ / "work"; }
  [[nodiscard]] bool wrote_nothing() const { return std::filesystem::is_empty(work()); }
  /// Writes a file beside work() and returns its path.
  [[nodiscard]] std::string file(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
    return (path_ / name).string();
  }

 private:
  std::filesystem::path path_;
  std::string subcommand_;
};

}  // namespace ovenproof::test

#include "process.hpp"

#include <cerrno>
#include <csignal>
#include <cstring>
#include <iostream>
#include <optional>
#include <poll.h>
#include <stdexcept>
#include <string>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <nlohmann/json.hpp>

namespace ovenproof::defects {
namespace {

using nlohmann::json;

void limit_cpu(unsigned seconds) {
  const rlimit limit{seconds, seconds + 5};
  if (setrlimit(RLIMIT_CPU, &limit) != 0) throw std::runtime_error("cannot set a time limit");
}

/// All that the worker writes; nothing if it is silent for too long.
std::optional<std::string> listen(int pipe, unsigned limit_s) {
  std::string text;
  char piece[4096];
  while (true) {
    pollfd one{pipe, POLLIN, 0};
    const int ready = poll(&one, 1, static_cast<int>(limit_s) * 1000);
    if (ready < 0 && errno == EINTR) continue;
    if (ready <= 0) return std::nullopt;
    const ssize_t count = read(pipe, piece, sizeof piece);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return text;
    text.append(piece, static_cast<std::size_t>(count));
  }
}

json judged(const std::optional<std::string>& text, int status) {
  if (!text) return {{"end", "overdue"}, {"why", "stood still"}};
  if (WIFSIGNALED(status)) {
    const int signal = WTERMSIG(status);
    const bool overdue = signal == SIGXCPU || signal == SIGKILL;
    return {{"end", overdue ? "overdue" : "crashed"}, {"why", strsignal(signal)}};
  }
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0 || text->empty()) {
    return {{"end", "lost"}, {"why", *text}};
  }
  return json::parse(*text);
}

}  // namespace

json in_a_process_of_its_own(int defect, unsigned limit_s, const std::function<json()>& work) {
  int ends[2];
  if (pipe(ends) != 0) throw std::runtime_error("no pipe");
  std::cout.flush();
  const pid_t child = fork();
  if (child < 0) throw std::runtime_error("cannot fork");
  if (child == 0) {
    close(ends[0]);
    std::string text;
    int status = 0;
    try {
      limit_cpu(limit_s);
      text = work().dump();
    } catch (const std::exception& failure) {
      text = failure.what();
      status = 1;
    }
    const ssize_t written = write(ends[1], text.data(), text.size());
    _exit(written == static_cast<ssize_t>(text.size()) ? status : 1);
  }
  close(ends[1]);
  // The machine may have much else to do: time on the wall is no measure, but some end there is.
  const std::optional<std::string> text = listen(ends[0], limit_s * 20);
  close(ends[0]);
  if (!text) kill(child, SIGKILL);
  int status = 0;
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  json result = judged(text, status);
  result["defect"] = defect;
  return result;
}

}  // namespace ovenproof::defects

#include <cstdio>
#include <fstream>

#include "recorder.hpp"

/// Writes the example logs to a folder: `make_example_logs scenarios/logs`.
int main(int count, char** arguments) {
  if (count != 2) {
    std::fputs("usage: make_example_logs FOLDER\n", stderr);
    return 2;
  }
  for (const auto& [name, text] : ovenproof::test::example_logs()) {
    std::ofstream file(std::string(arguments[1]) + '/' + name, std::ios::binary);
    file << text;
    file.close();
    if (!file) return 3;
  }
}

#include "sim/machine/text_file.hpp"

#include <cerrno>
#include <fstream>
#include <system_error>

#include <fmt/format.h>

namespace ovenproof::machine {

std::variant<std::string, Error> read_text_file(const std::filesystem::path& path) {
  const auto refusal = [&](std::string found) {
    return Error{path.string(), {}, "", "a readable text file", std::move(found), "", {}};
  };
  std::error_code failure;
  const std::filesystem::file_status status = std::filesystem::status(path, failure);
  if (status.type() == std::filesystem::file_type::not_found) return refusal("no such file");
  if (failure) return refusal(failure.message());
  if (std::filesystem::is_directory(status)) return refusal("a directory");

  errno = 0;
  std::ifstream in(path, std::ios::binary);
  if (!in)
    return refusal(errno == 0 ? "a file that cannot be opened"
                              : std::generic_category().message(errno));
  std::string text(longest_file + 1, '\0');
  in.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (in.bad()) return refusal("a file that cannot be read");
  text.resize(static_cast<std::size_t>(in.gcount()));
  if (text.size() > longest_file) {
    Error error = refusal("a longer file");
    error.expected = fmt::format("at most {} KiB", longest_file / 1024);
    return error;
  }
  return text;
}

}  // namespace ovenproof::machine

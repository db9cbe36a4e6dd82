#include "tests/cli/four76_run.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sndfile.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <numbers>

namespace four76::test {
namespace {

// The program's environment. Under the leak sanitizer, what libvorbis forgets of a file that breaks off in its headers
// is no fault of ours.
std::vector<std::string> environment_in([[maybe_unused]] const Folder& folder) {
  std::vector<std::string> all;
  for (char** entry = environ; *entry; ++entry) all.emplace_back(*entry);
#if defined(FOUR76_SANITIZED)
  write_file(folder.path("leaks"), "leak:vorbis_info_init\n");
  all.push_back("LSAN_OPTIONS=print_suppressions=0:suppressions=" + folder.path("leaks"));
#endif
  return all;
}

std::vector<char*> pointers_to(std::vector<std::string>& words) {
  std::vector<char*> all;
  for (std::string& word : words) all.push_back(word.data());
  all.push_back(nullptr);
  return all;
}

}  // namespace

Folder::Folder() {
  path_ = testing::TempDir() + "four76_cli_XXXXXX";
  if (!mkdtemp(path_.data())) ADD_FAILURE() << "no folder for temporary files";
}
Folder::~Folder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

Outcome four76(const std::vector<std::string>& arguments, const std::string& out_path) {
  const Folder folder;
  const std::string out = out_path.empty() ? folder.path("out") : out_path, err = folder.path("err");
  std::vector<std::string> words{FOUR76_CLI_PATH};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<std::string> environment = environment_in(folder);
  const auto argv = pointers_to(words), envp = pointers_to(environment);

  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, out.c_str(), O_WRONLY | O_CREAT, 0600);
  posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, err.c_str(), O_WRONLY | O_CREAT, 0600);
  pid_t pid = 0;
  const int failed = posix_spawn(&pid, argv[0], &actions, nullptr, argv.data(), envp.data());
  posix_spawn_file_actions_destroy(&actions);
  Outcome outcome;
  if (failed) {
    ADD_FAILURE() << "cannot start " << argv[0];
    return outcome;
  }
  int status = 0;
  rusage used{};
  wait4(pid, &status, 0, &used);
  outcome.exit_status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  if (out_path.empty()) outcome.out = read_file(out);
  outcome.err = read_file(err);
  outcome.peak_memory_kib = used.ru_maxrss;
  return outcome;
}

Signal tone(double frequency_hz, double rate_hz, double level_dbfs) {
  const double amplitude = std::pow(10.0, level_dbfs / 20.0);
  return [=](std::int64_t n) {
    const double cycles = std::fmod(static_cast<double>(n) * frequency_hz, rate_hz) / rate_hz;
    return static_cast<float>(amplitude * std::sin(2.0 * std::numbers::pi * cycles));
  };
}
Signal silence() {
  return [](std::int64_t) { return 0.0f; };
}

void write_sound(const std::string& path, int rate_hz, double seconds, const std::vector<Signal>& channels,
                 int format) {
  SF_INFO info{};
  info.samplerate = rate_hz;
  info.channels = static_cast<int>(channels.size());
  info.format = format ? format : SF_FORMAT_WAV | SF_FORMAT_PCM_24;
  SNDFILE* const file = sf_open(path.c_str(), SFM_WRITE, &info);
  ASSERT_NE(file, nullptr) << path << ": " << sf_strerror(nullptr);
  const auto frames = std::llround(seconds * rate_hz);
  std::vector<float> block;
  for (std::int64_t at = 0; at < frames;) {
    block.clear();
    for (const std::int64_t end = std::min<std::int64_t>(frames, at + 4096); at < end; ++at)
      for (const Signal& channel : channels) block.push_back(channel(at));
    sf_write_float(file, block.data(), static_cast<sf_count_t>(block.size()));
  }
  ASSERT_EQ(sf_close(file), 0);
}

std::string read_file(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}
void write_file(const std::string& path, std::string_view bytes) {
  std::ofstream(path, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}
int lines_in(std::string_view text) { return static_cast<int>(std::ranges::count(text, '\n')); }

}  // namespace four76::test

// What the tests of the command line share: a folder of their own, the program itself, and sound files to give it.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace four76::test {

// A folder that is there for one test.
class Folder {
 public:
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string path(std::string_view name) const { return path_ + '/' + std::string(name); }

 private:
  std::string path_;
};

struct Outcome {
  int exit_status = -1;  // 128 and the signal's number where one ended it
  std::string out, err;
  long peak_memory_kib = 0;
};

// Starts the built program and waits for its end. `out_path` takes its output where a test wants it elsewhere.
Outcome four76(const std::vector<std::string>& arguments, const std::string& out_path = "");

// Sample n of a channel, full scale 1.
using Signal = std::function<float(std::int64_t n)>;
Signal tone(double frequency_hz, double rate_hz, double level_dbfs = -12.0);
Signal silence();

// Writes sound through libsndfile; `format` is one of its SF_FORMAT_ sums (0 for 24-bit WAV).
void write_sound(const std::string& path, int rate_hz, double seconds, const std::vector<Signal>& channels,
                 int format = 0);

std::string read_file(const std::string& path);
void write_file(const std::string& path, std::string_view bytes);
int lines_in(std::string_view text);

}  // namespace four76::test

// The live dial's readings as a table, 20 rows a second of file time:
//   time_s,status,frequency_hz,speed_error_percent,u95_percent
// time_s is that of the newest sample used; a field is empty where there is no number.
//
// One channel is written: the only one, or the left one; the right one only where it alone has a tone. Which of them
// that is shows at the end of the file, so the rows of both are kept until then (64 bytes a row, under 5 MB an hour for
// each).
#pragma once

#include <array>
#include <cstddef>
#include <fstream>
#include <optional>
#include <string>
#include <vector>

#include "core/reading.hpp"
#include "core/result.hpp"

namespace four76::cli {

class TraceCsv {
 public:
  // Opens the file at once, so that a place that cannot be written to is known before the work. The fault is a phrase
  // that goes behind the file's name. `input_path` is the recording, which is never overwritten.
  static Result<TraceCsv, std::string> create(const std::string& path, const std::string& input_path);

  void add(std::size_t channel, const Reading& reading);
  // Writes one channel's rows and closes the file; false where the disk did not take all of it.
  [[nodiscard]] bool write();

 private:
  struct Row {
    double time_s;
    Status status;
    std::optional<double> frequency_hz, speed_error_percent, u95_percent;
  };
  TraceCsv() = default;

  std::ofstream out_;
  std::array<std::vector<Row>, 2> rows_;  // of each channel
};

}  // namespace four76::cli

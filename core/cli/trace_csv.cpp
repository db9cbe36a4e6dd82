#include "core/cli/trace_csv.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <system_error>

namespace four76::cli {
namespace {

// Nine decimals hold all that a reading tells (1e-7 Hz, 1e-6 %), and read well in any spreadsheet.
std::string number(const std::optional<double>& value, int decimals = 9) {
  if (!value) return "";
  std::array<char, 64> text{};
  std::snprintf(text.data(), text.size(), "%.*f", decimals, *value);
  return text.data();
}

}  // namespace

Result<TraceCsv, std::string> TraceCsv::create(const std::string& path, const std::string& input_path) {
  std::error_code error;
  if (std::filesystem::equivalent(path, input_path, error))
    return std::string("is the recording itself: give the trace another name");
  TraceCsv trace;
  trace.out_.open(path, std::ios::binary);
  if (!trace.out_) return std::string("cannot be written: check that the folder exists and that you may write there");
  return trace;
}

void TraceCsv::add(std::size_t channel, const Reading& reading) {
  rows_[channel].push_back(
      {reading.time_s, reading.status, reading.frequency_hz, reading.speed_error_percent, reading.u95_percent});
}

bool TraceCsv::write() {
  const auto has_tone = [](const std::vector<Row>& rows) {
    return std::ranges::any_of(rows, [](const Row& row) { return row.status != Status::no_tone; });
  };
  const auto& rows = !has_tone(rows_[0]) && has_tone(rows_[1]) ? rows_[1] : rows_[0];
  out_ << "time_s,status,frequency_hz,speed_error_percent,u95_percent\n";
  for (const Row& row : rows)
    out_ << number(row.time_s, 6) << ',' << name_of(row.status) << ',' << number(row.frequency_hz) << ','
         << number(row.speed_error_percent) << ',' << number(row.u95_percent) << '\n';
  out_.close();
  return !out_.fail();
}

}  // namespace four76::cli

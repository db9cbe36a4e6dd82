// four76: measures the speed of cassette machines from recordings of their tapes.
#include <CLI/CLI.hpp>
#include <exception>
#include <iostream>
#include <map>
#include <string>

#include "core/cli/complain.hpp"
#include "core/cli/exit_status.hpp"
#include "core/cli/measure_command.hpp"
#include "core/cli/song_command.hpp"
#include "core/cli/tape_command.hpp"
#include "core/cli/tone_command.hpp"

namespace {

using namespace four76::cli;
using four76::KnownParts;
using four76::TapeKind;

constexpr const char* kExamples =
    "Examples (more: four76 COMMAND --help):\n"
    "  four76 measure tape.wav --tone 3150\n"
    "  four76 song album.flac tape.wav\n"
    "  four76 tape first.wav second.wav third.wav\n"
    "  four76 tone 3150.wav --tone 3150 --seconds 60\n\n";
constexpr const char* kExitStatus =
    "Exit status: 0 measured or written, 2 bad usage, 3 a file cannot be read or written,\n"
    "4 no reading that can be trusted.\n";

// What is known of the machine tells its rotating parts apart; all of it may be left out.
void add_known_parts(CLI::App& command, KnownParts& known) {
  const auto add = [&](const char* name, auto& value, const char* text) {
    command.add_option(name, value, text)->check(CLI::Number)->group("What is known of the machine");
  };
  add("--capstan-mm", known.capstan_diameter_mm, "Diameter of the capstan in mm");
  add("--roller-mm", known.roller_diameter_mm, "Diameter of the pinch roller in mm");
  add("--motor-rpm", known.motor_rpm, "Turns of the motor in a minute");
  add("--motor-pulley-mm", known.motor_pulley_diameter_mm, "Diameter of the motor's pulley in mm");
  add("--flywheel-mm", known.flywheel_diameter_mm, "Diameter of the flywheel in mm, where the belt runs");
  add("--belt-mm", known.belt_length_mm, "Length of the belt in mm, all the way round");
  add("--idler-mm", known.idler_diameter_mm, "Diameter of the idler in mm");
  add("--tape-speed", known.tape_speed_cm_s, "Nominal speed of the tape in cm/s; 4.76 where not given");
  command
      .add_option_function<double>(
          "--side-played", [&known](double percent) { known.side_played_share = percent / 100.0; },
          "How much of the side has been played, in percent")
      ->check(CLI::Range(0.0, 100.0))
      ->group("What is known of the machine");
  const std::map<std::string, TapeKind> kinds{{"c60", TapeKind::c60}, {"c90", TapeKind::c90}, {"c120", TapeKind::c120}};
  command.add_option("--tape", known.tape_kind, "Length of the cassette: c60, c90 or c120")
      ->transform(CLI::CheckedTransformer(kinds, CLI::ignore_case).description(""))
      ->group("What is known of the machine");
}

CLI::App* add_measure(CLI::App& app, MeasureOptions& options) {
  CLI::App* command = app.add_subcommand("measure", "Measure the speed of the machine that played a tone into FILE.");
  command->add_option("FILE", options.file, "WAV, FLAC, Ogg or AIFF, mono or stereo, 8 to 192 kHz")->required();
  CLI::Option* tone =
      command->add_option("--tone", options.tone_hz, "Frequency recorded on the tape in Hz, 100 to 10000")
          ->capture_default_str();
  command
      ->add_flag("--sure", options.tone_is_sure,
                 "The tape surely carries --tone, although it reads as another standard tone")
      ->needs(tone);
  command
      ->add_option("--near", options.near_hz,
                   "Where two steady tones are heard: the tape's is the one nearer to this frequency in Hz")
      ->check(CLI::Number);
  command
      ->add_option("--clock-ppm", options.clock_ppm,
                   "How fast the recorder's sample clock ran in ppm, negative where slow, -1000 to 1000: corrected for")
      ->check(CLI::Number);
  command
      ->add_option("--clock-u95-ppm", options.clock_u95_ppm,
                   "What the recorder's clock may be off by, after --clock-ppm where that is given")
      ->check(CLI::Number)
      ->capture_default_str();
  command
      ->add_option("--tape-tolerance", options.tape_u95_percent,
                   "How far off the tape's own tone may be in percent, as its label or certificate states")
      ->check(CLI::Number);
  command->add_option("--trace", options.trace_file, "Write the live dial's readings, 20 a second, to this CSV file");
  command
      ->add_option("--tolerance", options.tolerance_percent, "How far off in percent the speed may be, for the advice")
      ->capture_default_str();
  add_known_parts(*command, options.known);
  command->add_flag("--json", options.json, "Print one JSON object in place of the summary");
  command->footer(
      "Examples:\n"
      "  four76 measure tape.wav                      a 3000 Hz speed tape\n"
      "  four76 measure tape.wav --tone 3150 --json   a 3150 Hz one, for a program to read\n"
      "  four76 measure tape.flac --trace speed.csv   and the speed along the way\n"
      "  four76 measure tape.wav --capstan-mm 2.0     and what is at fault, knowing the capstan\n"
      "  four76 measure tape.wav --clock-ppm 34.2     recorded by a device whose clock runs 34.2 ppm fast\n"
      "  four76 measure tape.wav --tone 3000 --sure   a machine that truly runs 5 % fast, not a 3150 Hz tape\n"
      "  four76 measure tape.wav --near 2990          of two steady tones the one at 2990 Hz is the tape's\n");
  return command;
}

CLI::App* add_tone(CLI::App& app, ToneOptions& options) {
  CLI::App* command = app.add_subcommand("tone", "Write a test tone of an exact frequency, 24-bit WAV with soft ends.");
  command->add_option("OUT.wav", options.file, "File to write; one of that name is replaced")->required();
  command->add_option("--tone", options.tone_hz, "Frequency in Hz")->required();
  command->add_option("--seconds", options.seconds, "Length in seconds")->required();
  command->add_option("--rate", options.rate_hz, "Sample rate in Hz, 8000 to 192000")->capture_default_str();
  command->add_option("--level", options.level_dbfs, "Level in dBFS, a full-scale sine being 0")->capture_default_str();
  command->footer(
      "Examples:\n"
      "  four76 tone 3150.wav --tone 3150 --seconds 60\n"
      "  four76 tone fast.wav --tone 3030 --seconds 30 --rate 44100 --level -20   a machine 1 % fast\n");
  return command;
}

CLI::App* add_song(CLI::App& app, SongOptions& options) {
  CLI::App* command = app.add_subcommand(
      "song", "Measure the speed of the machine that played a song which is also at hand as a file.");
  command->add_option("REFERENCE", options.reference, "The song as it should sound, up to 10 minutes")->required();
  command->add_option("TAPE", options.tape, "30 to 60 s of it as the machine plays it, from anywhere in the song")
      ->required();
  command->add_option("--trace", options.trace_file, "Write the live dial's readings, 20 a second, to this CSV file");
  command
      ->add_option("--tolerance", options.tolerance_percent,
                   "How far off in percent the speed may be: it has to be known to a fifth of that")
      ->capture_default_str();
  command->add_flag("--json", options.json, "Print one JSON object in place of the summary");
  command->footer(
      "Examples:\n"
      "  four76 song album.flac tape.wav                 the same song, from a file and from the tape\n"
      "  four76 song album.flac tape.wav --json          for a program to read\n"
      "  four76 song album.flac tape.wav --trace s.csv   and the speed along the way\n");
  return command;
}

CLI::App* add_tape(CLI::App& app, TapeOptions& options) {
  CLI::App* command = app.add_subcommand(
      "tape", "Measure the speed of a machine from any tapes of music, without a speed tape and without the song.");
  command
      ->add_option("FILE", options.files, "Half a minute or more of a tape each: WAV, FLAC, Ogg or AIFF; several vote")
      ->required();
  command
      ->add_option_function<std::string>(
          "--pitch",
          [&options](const std::string& text) {
            double hz = 0.0;
            if (text == "unknown")
              options.tuning.concert_a_hz.reset();
            else if (CLI::detail::lexical_cast(text, hz))
              options.tuning.concert_a_hz = hz;
            else
              throw CLI::ValidationError("--pitch", "takes a frequency in Hz or unknown");
          },
          "Concert pitch that the music is tuned to, in Hz, or unknown; 440 where not given")
      ->type_name("HZ|unknown");
  command
      ->add_option_function<std::string>(
          "--sounds",
          [&options](const std::string& said) {
            const std::string text = CLI::detail::to_lower(said);
            if (text == "slow")
              options.sounds_like = four76::SoundsLike::slow;
            else if (text == "right")
              options.sounds_like = four76::SoundsLike::right;
            else if (text == "fast")
              options.sounds_like = four76::SoundsLike::fast;
            else
              throw CLI::ValidationError("--sounds", "takes slow, right or fast");
          },
          "How a tape that you know sounds")
      ->type_name("slow|right|fast");
  command
      ->add_option("--tolerance", options.tolerance_percent,
                   "How far off in percent the speed may be: how many more tapes it takes is told for that")
      ->capture_default_str();
  command->add_flag("--json", options.json, "Print one JSON object in place of the summary");
  command->footer(
      "Examples:\n"
      "  four76 tape one.wav                        what one tape tells: mostly two speeds, a semitone apart\n"
      "  four76 tape one.wav --sounds right         of those the one at which it sounds about right\n"
      "  four76 tape *.wav --sounds right --json    several tapes of one machine vote\n"
      "  four76 tape organ.wav --pitch 415          music that is tuned lower\n");
  return command;
}

int run(int argc, char** argv) {
  CLI::App app("four76: how fast does this cassette machine run?", "four76");
  app.set_version_flag("--version", "four76 " FOUR76_VERSION);
  app.require_subcommand(1);
  app.footer(std::string(kExamples) + kExitStatus);
  MeasureOptions measure;
  SongOptions song;
  TapeOptions tape;
  ToneOptions tone;
  const CLI::App* measure_command = add_measure(app, measure);
  const CLI::App* song_command = add_song(app, song);
  const CLI::App* tape_command = add_tape(app, tape);
  add_tone(app, tone);
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error, std::cout, std::cerr);  // --help, --version
    complain(std::cerr, std::string(error.what()) + " (four76 --help shows how)");
    return kBadUsage;
  }
  if (song_command->parsed()) return run_song(song, std::cout, std::cerr);
  if (tape_command->parsed()) return run_tape(tape, std::cout, std::cerr);
  return measure_command->parsed() ? run_measure(measure, std::cout, std::cerr) : run_tone(tone, std::cerr);
}

}  // namespace

int main(int argc, char** argv) {
  try {
    const int status = run(argc, argv);
    if (std::cout.flush()) return status;
    complain(std::cerr, "the result could not be written: make room on the disk");
  } catch (const std::exception& error) {
    complain(std::cerr, std::string("stopped: ") + error.what());
  }
  return four76::cli::kFileFault;
}

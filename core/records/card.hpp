// Card: one for each machine, with its visits; and the tapes that were used. All of it as one JSON file.
//
//   {"schema":"four76.cards/1",
//    "tapes":[{"id","name","true_hz","u95_percent","certified_by","note","changed_ms"}],
//    "cards":[{"id","name","kind","parts","trimmer_place","clockwise_is_faster","tolerance_percent","note","changed_ms",
//              "visits":[{"id","time","stage","place","source","seconds","nominal_hz","tape_u95_percent","clock_ppm",
//                "clock_u95_ppm","tolerance_percent","tape","device","note","changed_ms",
//                "channels":[{"channel","status","reasons":[],"frequency_hz","speed_error_percent","u95_percent",
//                  "level_dbfs","carrier_to_noise_dbhz","weighted_two_sigma_percent","weighted_quasi_peak_percent",
//                  "unweighted_two_sigma_percent","drift_percent_per_minute",
//                  "components":[{"rate_hz","peak_percent"}]}],
//                "course":{"step_s","percent":[]},"spectrum":{"first_hz","bin_hz","dbfs":[]},
//                "by_tapes":{"tapes","speed_error_percent","u95_percent","concert_a_hz","line_scan","mains_hum",
//                  "sounds_like"}}]}]}
//
// Names, words for kinds and units are those of `four76 measure --json`. "parts" is the line of
// core/records/parts_text. What is not known is absent or null. changed_ms counts from 1970: of two records with one id
// the newer is right.
//
// "by_tapes" is what tapes of music told, with "sounds_like" none, slow, right or fast. It stands in a visit whose
// source is "tapes", in no other, and never beside a measurement. A page that does not know that source sets the visit
// aside whole, and a page that knows it takes it back.
//
// A file may come from anywhere. Taken are at most kLargestCardsFile bytes of strict JSON; a record that is broken or
// one too many is set aside and named, and the rest is kept. A file of a later version is refused, for what this page
// does not know it would lose. This is the first version; a reader of a second one begins by making the first into it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/bench/visit.hpp"
#include "core/result.hpp"

namespace four76 {

inline constexpr std::size_t kLargestCardsFile = 32u << 20u;  // bytes: some 6000 visits with their pictures (derived)
inline constexpr std::size_t kMostCards = 200, kMostVisits = 1000, kMostKnownTapes = 200;  // visits: of one card
// Bytes: the page's longest fields hold 100 and 1000 letters, of three bytes each at the most (derived).
inline constexpr std::size_t kLongestName = 300, kLongestNote = 3000;

struct Card {
  std::string id, name;
  std::string kind;                         // "deck", "portable", as the person puts it
  std::string parts;                        // see core/records/parts_text
  std::string trimmer_place;                // "hole in the back of the motor"
  std::optional<bool> clockwise_is_faster;  // of that trimmer
  double tolerance_percent = 0.5;
  std::string note;
  std::int64_t changed_ms = 0;
  std::vector<Measurement> visits;  // in the order of their time
  bool operator==(const Card&) const = default;
};

struct KnownTape {
  std::string id, name;
  std::optional<double> true_hz;      // what it really carries
  std::optional<double> u95_percent;  // of that
  std::string certified_by;           // the trusted tape or the certificate
  std::string note;
  std::int64_t changed_ms = 0;
  bool operator==(const KnownTape&) const = default;
};

struct Cards {
  std::vector<Card> cards;
  std::vector<KnownTape> tapes;
  bool operator==(const Cards&) const = default;
};

// Where in the text that was read a record stands: each counts from 0.
enum class RecordKind : std::uint8_t { card, tape };
[[nodiscard]] std::string_view name_of(RecordKind kind) noexcept;  // as JSON has it: "card", "tape"
struct RecordPlace {
  RecordKind kind = RecordKind::card;
  std::size_t index = 0;             // among the records of its kind
  std::optional<std::size_t> visit;  // of that card; the card as a whole where absent
  bool operator==(const RecordPlace&) const = default;
};

struct SetAside {
  std::string what;                  // for people to read: "card 3, visit 2"
  std::string why;                   // for people to read: "id is missing"
  std::optional<RecordPlace> place;  // absent for a sound record for which there was no room
};
struct ReadCards {
  Cards cards;
  std::vector<SetAside> set_aside;
};

// The refusal, in words that say what to do.
struct CardsFault {
  std::string why;
};
[[nodiscard]] Result<ReadCards, CardsFault> read_cards(std::string_view text);
[[nodiscard]] std::string write_cards(const Cards& cards);
// One visit alone, to be put among those of a card. Its id, time and changed_ms are left out where they are not known.
[[nodiscard]] std::string write_visit(const Measurement& visit);

struct Merged {
  std::size_t added = 0, renewed = 0, left = 0;  // records that were new, newer, known already
  std::vector<SetAside> set_aside;               // for which there was no room
};
// Puts what came to what is there. Nothing is lost: of two with one id the newer stands, and all visits of both.
Merged merge_cards(Cards& there, const Cards& came);

// One line a reading and channel, with a head; what tapes of music told is no reading, and not in it. As spreadsheets
// read it (RFC 4180). A text that a spreadsheet would take for a formula has a ' in front.
[[nodiscard]] std::string cards_csv(const Cards& cards);

}  // namespace four76

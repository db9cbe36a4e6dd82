// The song bench in words: what to do, what is known, and what several tapes say together (votes_words.cpp).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/records/tape_book.hpp"
#include "web/model.hpp"
#include "web/words/said.hpp"

namespace four76::words {

[[nodiscard]] std::string_view act_name(std::string_view act) noexcept;  // of the song bench's buttons
[[nodiscard]] std::string song_name(const Model& model);
[[nodiscard]] Hint song_hint(const Model& model);
[[nodiscard]] std::string song_status_line(const Model& model);
[[nodiscard]] std::string song_state_text(const Model& model);  // "Locked at 1:23 of the song"
[[nodiscard]] std::string song_against(const Model& model);
[[nodiscard]] std::string_view song_in_place_of_a_number(const Model& model) noexcept;
[[nodiscard]] std::vector<std::string_view> song_steps(const Model& model);
[[nodiscard]] std::vector<BudgetLine> song_lines(const Model& model);  // what is known of what runs; without notes
[[nodiscard]] std::string match_place(const Model& model);             // a sentence
[[nodiscard]] std::string_view alignment_title(const Model& model) noexcept;
[[nodiscard]] std::string ahead_text(double seconds, double after_s);  // "+0.41 s after 40 s"
[[nodiscard]] Advice advice(SongReason reason);
[[nodiscard]] std::optional<Advice> song_advice(Reason reason);  // of a reading by a song
[[nodiscard]] std::string too_long_song(double seconds);         // of a file; its name stands before
[[nodiscard]] std::string too_short_song(double seconds, bool tape);
[[nodiscard]] std::string_view silent_song(bool tape) noexcept;
[[nodiscard]] std::string_view unfit_rate_song() noexcept;
[[nodiscard]] std::vector<std::string_view> song_truth();  // how far a song can be trusted, at length
[[nodiscard]] std::string vote_sentence(std::span<const TapeVote> votes);
[[nodiscard]] std::string vote_summary(std::span<const TapeVote> votes);  // "Median +1.05 %, spread 0.15 %, 4 tapes"
[[nodiscard]] std::string vote_amount(const TapeVote& vote);
[[nodiscard]] std::string_view tape_needs_name() noexcept;
[[nodiscard]] std::string vote_offer(const Model& model);  // the result that may be kept, or why there is none

}  // namespace four76::words

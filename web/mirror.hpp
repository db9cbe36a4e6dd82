// mirror: what the HTML side shows, as one JSON object for browser::show.
//
// {"phase": "idle|asking|listening|demo|measuring_file|file_shown|failed",
//  "reading": {"channel": "mono|left|right", FIELDS},   of the channel on show, for <dl id="reading">
//  "channels": [{"channel": ..., FIELDS}, ...],         every channel there is; empty without a snapshot
//  "channels_agree": true | false | null,
//  "spoken": "what a screen reader says of the reading",
//  "status_line": "Listening, 48 kHz, left channel",
//  "usable": {"act-listen": true, ...},                 which buttons can be pressed
//  "controls": {"tone": {"value": "3000", "options": [["3000", "3000 Hz"], ...]}, "tolerance": ..., "unit": ...,
//               "channel": ..., "device": ...},
//  "messages": [{"weight": "fact|warning|fault", "text": ..., "act": "act-listen" or ""}],
//  "processing": "The browser says: ..." or "",
//  "advice": [{"reason": ..., "what": ..., "todo": ...}], "doubt": what the browser leaves open of voice processing,
//  "budget": {"noise_percent", "wow_percent", "clock_percent", "tape_percent", "sum_percent" (null where not known),
//             "of": "Of the mean of 10 s, +1.8 %:", "terms": [{"name", "amount", "note"}, ...], "sum": {likewise}},
//  "clock": {"stage": "" | "listening" | "found" | "kept" | "refused", "said": ..., "progress": 0 to 1 or null,
//            "fast_ppm", "u95_ppm" (of the check), "corrected_ppm" (of what listens), "kept": ["sentence", ...]},
//  "measure": {"end": "start" | "end", "progress": 0 to 1 or null, "said": ..., "kept": ["sentence", ...],
//              "difference": "sentence" or ""},          half a minute at either end of the tape
//  "song": {"bench": "tone" | "song", "reference": name, "reference_s", "recorded_s", "again": the act that does again
//           what failed, "role": what a dropped file is, "tapes": {"machine", "rows": [{"index", "tape", "amount",
//           "date", "apart"}], "summary", "sentence", "offer", "fault", "can_keep"}},
//  "view": "speed" | "flutter",
//  "progress": 0.4 or null, "file": "name",             of a file
//  "update_ready": false}
//
// FIELDS, as in `four76 measure --json`: status, frequency_hz, speed_error_percent, u95_percent, level_dbfs,
// carrier_to_noise_dbhz (null where not measured), reasons (array of names); wow and flutter of the newest 10 s or of
// all of a file, the same way: weighted_two_sigma_percent, weighted_quasi_peak_percent, unweighted_two_sigma_percent,
// weighted_rms_percent, unweighted_rms_percent, wow_two_sigma_percent, flutter_two_sigma_percent, noise_floor_percent,
// drift_percent_per_minute, components ([[rate_hz, peak_percent], ...]); of a song song_state ("", "silent",
// "searching", "following", "lost"), song_position_s, and of a tape's file song_status, reference_start_s,
// matched_fraction, wow_rms_percent as in `four76 song --json`; and "text", the words for each of them.
#pragma once

#include <string>

#include "web/model.hpp"

namespace four76 {

std::string mirror_json(const Model& model);

// What never changes while the page is open, told once:
// {"acts": {"act-song": "Measure by a song", ...}, "caution": "...", "song_truth": [...],
//  "reasons": [{"reason": ..., "what": ..., "todo": ...}, ...], "platforms": [{"name", "steps", "here": true|false},
// ...]}
std::string words_json(const Model& model);

}  // namespace four76

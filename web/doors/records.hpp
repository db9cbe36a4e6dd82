// RecordsDoor: what the page's script asks of the records: text in, text out, at once and without a side effect. The
// script keeps the cards (it alone can); what they mean is told here.
//
//   read    cards           every card in words, and the cards as they are to be kept
//   merge   there, came     both in one
//   csv     cards           RFC 4180
//   report  cards, id of one, name of who made it
//   ask     id, "tone;tolerance;tape's tolerance", kind of machine, note
//   answer  cards with one visit, id of the asking, day, note
//   filed   a link that brought an answer
//
// Cards are the text of a cards file (core/records/card). An answer but for "csv" is a JSON object; its "fault", where
// not empty, says in words why there is nothing else in it.
// What was set aside stands at "index" among the cards or tapes of the text that was read, from 0, and there at "visit"
// where it is a visit alone; neither stands for a sound record for which there was no room.
//
//   {"fault":"","file":{the cards},"set_aside":[{"what","why","kind":"card|tape","index","visit"}],
//    "cards":[{"id","name","since","newest",
//              "visits":[{"id","heading","speed","short","verdict","judged","rows":[[label,text]]}]}],
//    "said":"3 new, 1 renewed"}
//   {"fault":"","link":"v2.ask=..."}            ask, answer
//   {"fault":"","visit":{as on a card},"id"}    filed
//   {"fault":"","title","summary","caution","machine":[[label,text]],"conditions":[[label,text]],
//    "readings":[{"heading","verdict","rows","ribbon_svg","spectrum_svg"}]}
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace four76 {

[[nodiscard]] std::string ask_records(std::string_view what, const std::array<std::string_view, 4>& texts);

}  // namespace four76

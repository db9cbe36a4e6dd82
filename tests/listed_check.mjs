// A check that finds faults in what lies there: prints "ok NAME", or "not ok NAME" and the faults below it. tests/run counts
// the lines.
const kMostTold = 40;
let bad = 0;

export function check(name, faults) {
  console.log(faults.length === 0 ? `ok ${name}` : `not ok ${name}`);
  for (const fault of faults.slice(0, kMostTold)) console.log(`  ${fault}`);
  if (faults.length > 0) bad += 1;
}
export const exit_code = () => (bad === 0 ? 0 : 1);

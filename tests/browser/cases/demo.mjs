// The demo: a simulated tape whose screw can be turned, by wheel, mouse and finger.
import { check, mean, near, same } from "../check.mjs";

async function speed(page) {
  const { rows } = await page.watch_readings(2000); // about one turn of the slowest wow
  return mean(rows.filter((row) => row.speed_error_percent !== "").map((row) => Number(row.speed_error_percent)));
}

async function canvas_box(page) {
  return page.page.locator("#instrument").boundingBox();
}

// One notch up or down, everywhere in a part of the canvas: only the screw answers.
async function wheel_over(page, { x, y, width, height }, notches) {
  const step = 36;
  for (let row = y + step / 2; row < y + height; row += step) {
    for (let column = x + step / 2; column < x + width; column += step) {
      await page.page.mouse.move(column, row);
      await page.page.mouse.wheel(0, -100 * notches);
    }
  }
}

// Where the screw is, by halving: which half of the canvas answers to the wheel?
async function find_screw(page) {
  let area = await canvas_box(page);
  let before = await speed(page);
  let way = -1;
  while (Math.max(area.width, area.height) > 60) {
    const wide = area.width > area.height;
    const half = wide ? { ...area, width: area.width / 2 } : { ...area, height: area.height / 2 };
    const rest = wide ? { ...half, x: half.x + half.width } : { ...half, y: half.y + half.height };
    await wheel_over(page, half, 6 * way);
    const after = await speed(page);
    const answered = Math.abs(after - before) > 0.35;
    if (answered) way = after > 0 ? -1 : 1;
    before = after;
    area = answered ? half : rest;
  }
  return { x: area.x + area.width / 2, y: area.y + area.height / 2 };
}

async function starts_and_reads(house) {
  const page = await house.open_ready();
  await page.press("act-demo");
  await page.phase("demo");
  const told = await page.measured();
  near(Number(told.reading.speed_error_percent), 1.8, 0.5, "the first reading");
  near(await speed(page), 1.8, 0.2, "the demo's speed error");
  check(/Demo: simulated tape/.test(told.status_line), told.status_line);
  check(/Runs 1\.\d+ percent fast, plus or minus/.test(told.words.status) || /Runs 2\.0/.test(told.words.status), told.words.status);
}

async function screw_turns(house) {
  const page = await house.open_ready({ width: 390, height: 844, touch: true });
  await page.press("act-demo");
  await page.measured();
  const screw = await find_screw(page);
  const before = await speed(page);

  // A finger goes down on the screw, out of it, and half a turn about it against the clock: 3 % slower.
  const finger = await page.page.context().newCDPSession(page.page);
  const touch = (type, ...points) => finger.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  const radius = 100;
  const on_circle = (angle) => ({ x: screw.x + radius * Math.cos(angle), y: screw.y + radius * Math.sin(angle) });
  await touch("touchStart", screw);
  const kSteps = 24;
  for (let i = 1; i <= 8; ++i) await touch("touchMove", { x: screw.x + (radius * i) / 8, y: screw.y });
  for (let i = 1; i <= kSteps; ++i) await touch("touchMove", on_circle((-Math.PI * i) / kSteps));
  await touch("touchEnd");
  const end = Date.now() + 30_000;
  let after;
  do after = await speed(page);
  while (Math.abs(after - before + 3) > 1.2 && Date.now() < end);
  near(after, before - 3, 1.2, `half a turn to the left, from ${before}`);
  house.note(`half a turn: ${before.toFixed(2)} % to ${after.toFixed(2)} %`);
  await page.press("act-stop");
  same((await page.phase("idle")).reading.speed_error_percent, "", "speed error after stop");
}

export const tests = [
  ["the demo starts and reads", starts_and_reads],
  ["turning the demo's screw with a finger changes the reading", screw_turns],
];

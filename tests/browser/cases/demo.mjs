// The demo: a simulated tape whose screw can be turned, by wheel, mouse and finger.
import { check, mean, near, number } from "../check.mjs";

// The mean over some turns of the wow, after the machine has followed.
async function speed(page, ms = 2000) {
  const { rows } = await page.watch_readings(ms + 600);
  const settled = rows.filter((row) => row.at_ms > rows.at(-1).at_ms - ms && row.speed_error_percent !== "");
  return mean(settled.map((row) => number(row.speed_error_percent)));
}

// The instrument takes a move and what follows it in two frames.
async function frames(page, count = 2) {
  await page.page.evaluate(async (left) => {
    for (; left > 0; --left) await new Promise(requestAnimationFrame);
  }, count);
}

// Ten notches of the wheel everywhere in a part of the canvas: only the screw answers, with 1 % or more.
async function wheel_over(page, { x, y, width, height }, way) {
  const step = 50;
  const columns = Math.ceil(width / step);
  const rows = Math.ceil(height / step);
  for (let i = 0; i < columns * rows; ++i) {
    await page.page.mouse.move(x + (width * ((i % columns) + 0.5)) / columns, y + (height * (Math.floor(i / columns) + 0.5)) / rows);
    await page.page.mouse.wheel(0, -1000 * way);
    await frames(page);
  }
}

// Where the screw is, by halving: which half of the canvas answers to the wheel?
async function find_screw(page) {
  let area = await page.page.locator("#instrument").boundingBox();
  let before = await speed(page);
  let way = -1;
  while (Math.max(area.width, area.height) > 60) {
    const half = area.width > area.height ? { ...area, width: area.width / 2 } : { ...area, height: area.height / 2 };
    const rest = area.width > area.height ? { ...half, x: half.x + half.width } : { ...half, y: half.y + half.height };
    await wheel_over(page, half, way);
    const after = await speed(page, 900);
    const answered = Math.abs(after - before) > 0.5;
    if (answered) way = -way;
    before = after;
    area = answered ? half : rest;
  }
  return { x: area.x + area.width / 2, y: area.y + area.height / 2 };
}

async function starts_and_reads(house) {
  const page = await house.open_ready();
  await page.press("act-demo");
  await page.phase("demo");
  const first = await page.measured();
  near(number(first.reading.speed_error_percent), 1.8, 0.5, "the first reading");
  near(await speed(page), 1.8, 0.2, "the demo's speed error");
  check(/Demo: simulated tape/.test(first.status_line), first.status_line);
  await page.until("its words", (told) => /^Runs [12]\.\d+ percent fast, plus or minus .* slow it down/.test(told.words.status));
}

async function screw_turns(house) {
  const page = await house.open_ready({ width: 390, height: 844, touch: true, motion: true });
  await page.press("act-demo");
  await page.measured();
  const screw = await find_screw(page);
  const before = await speed(page);

  // A finger goes down on the screw, out of it, once around it against the clock, and back: one turn, 6 % slower.
  const finger = await page.page.context().newCDPSession(page.page);
  const touch = async (type, ...points) => {
    await finger.send("Input.dispatchTouchEvent", { type, touchPoints: points });
    await frames(page);
  };
  const at = (radius, turns) => ({ x: screw.x + radius * Math.cos(2 * Math.PI * turns), y: screw.y - radius * Math.sin(2 * Math.PI * turns) });
  await touch("touchStart", screw);
  for (const radius of [30, 60, 90]) await touch("touchMove", at(radius, 0));
  for (let i = 1; i <= 16; ++i) await touch("touchMove", at(90, i / 16));
  for (const radius of [60, 30, 0]) await touch("touchMove", at(radius, 1));
  await touch("touchEnd");
  const after = await speed(page);
  near(after, before - 6, 0.5, `one turn to the left, from ${before}`);
  house.note(`one turn: ${before.toFixed(2)} % to ${after.toFixed(2)} %`);
  await page.press("act-stop");
  check((await page.phase("held")).reading.speed_error_percent !== "", "what the demo showed last is gone");
}

export const tests = [
  ["the demo starts and reads", starts_and_reads],
  ["turning the demo's screw with a finger changes the reading", screw_turns],
];

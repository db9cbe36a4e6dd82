// What the canvas shows, as far as pixels tell: that it draws, and draws again after its context was lost.
import { check, near, number } from "../check.mjs";
import { colours_in, read_png } from "../png.mjs";
import { tone } from "../sound.mjs";

// How many colours the canvas shows: an empty one has one, text smoothed at its edges makes dozens.
async function colours(page) {
  const box = await page.page.locator("#instrument").boundingBox();
  return colours_in(read_png(await page.page.screenshot()), box);
}

async function until_drawn(page, what) {
  const end = Date.now() + 30_000;
  let seen;
  do {
    seen = await colours(page);
    if (seen > 24) return seen;
    await page.page.waitForTimeout(200);
  } while (Date.now() < end);
  throw new Error(`${what}: the canvas shows ${seen} colours`);
}

const loses = (page) => page.page.evaluate(() => (globalThis.loss = document.getElementById("instrument").getContext("webgl2").getExtension("WEBGL_lose_context")).loseContext());
const restores = (page) => page.page.evaluate(() => globalThis.loss.restoreContext());
const is_lost = (page) => page.page.evaluate(() => document.getElementById("instrument").getContext("webgl2").isContextLost());

async function survives_the_loss_of_its_context(house) {
  const page = await house.open_ready({ scale: 1, motion: true, sound: [tone({ hz: 3015, seconds: 4 })] });
  await page.listen();
  await page.measured();
  await until_drawn(page, "at first");
  for (let round = 1; round <= 2; ++round) {
    await loses(page);
    check(await is_lost(page), "the context is not lost");
    const { rows } = await page.watch_readings(1500);
    check(rows.some((row) => row.status === "measured"), "nothing is measured while the drawing is lost");
    await restores(page);
    const seen = await until_drawn(page, `after loss ${round}`);
    house.note(`${seen} colours after loss ${round}`);
  }
  const told = await page.measured();
  near(number(told.reading.speed_error_percent), 0.5, 0.02, "speed error");

  await page.stop(); // lost while nothing runs
  await loses(page);
  await restores(page);
  await page.listen();
  await page.measured();
  await until_drawn(page, "after a loss while idle");
}

// As phones do it, the page's zoom changes with a turn.
async function draws_as_fine_as_the_screen(house) {
  for (const scale of [1.5, 2.75]) {
    const page = await house.open_ready({ width: 390, height: 700, scale, motion: true });
    await page.press("act-demo");
    await page.measured();
    for (const [width, height] of [[390, 700], [700, 390]]) {
      await page.page.setViewportSize({ width, height });
      const fits = () =>
        page.page.evaluate(() => {
          const canvas = document.getElementById("instrument");
          const { width: w, height: h } = canvas.getBoundingClientRect();
          return Math.abs(canvas.width - w * devicePixelRatio) <= 1 && Math.abs(canvas.height - h * devicePixelRatio) <= 1;
        });
      const end = Date.now() + 20_000;
      while (!(await fits()) && Date.now() < end) await page.page.waitForTimeout(100);
      check(await fits(), `at ${scale} the canvas is not as fine as the screen, ${width} by ${height}`);
    }
  }
}

// Nothing moves, nothing is drawn.
async function rests_when_nothing_changes(house) {
  const page = await house.open_ready({
    motion: true,
    before: (context) =>
      context.addInitScript(() => {
        globalThis.frames = 0;
        const request = globalThis.requestAnimationFrame;
        globalThis.requestAnimationFrame = (then) => {
          globalThis.frames += 1;
          return request(then);
        };
      }),
  });
  await page.page.waitForTimeout(1500); // the first frames settle
  const before = await page.page.evaluate(() => globalThis.frames);
  await page.page.waitForTimeout(2000);
  const after = await page.page.evaluate(() => globalThis.frames);
  check(before > 0, "no frame was ever asked for");
  check(after - before <= 2, `${after - before} frames in two idle seconds`);
}

export const tests = [
  ["the drawing survives the loss of its WebGL context", survives_the_loss_of_its_context],
  ["the drawing is as fine as the screen, also when turned", draws_as_fine_as_the_screen],
  ["the drawing rests when nothing changes", rests_when_nothing_changes],
];

// A friend's link, both ways: asked, measured on their page, sent back, filed; and links that are none.
import { check, near, same } from "../check.mjs";
import { tone } from "../sound.mjs";
import { stored_cards } from "../stored.mjs";
import { looks_right } from "./sizes.mjs";

const value = (page, id) => page.page.evaluate((name) => document.getElementById(name).value, id);
async function asks(page) {
  await page.choose("tone", "3150");
  await page.choose("tolerance", "1");
  await page.open_panel("friend");
  await page.page.locator("#friend-kind").fill("portable");
  await page.page.locator("#friend-note").fill("Side A <b>first</b>");
  await page.page.waitForFunction(() => document.getElementById("friend-link").value.includes("note="), undefined, { polling: 50 });
}

async function both_ways(house) {
  const { address } = await house.serve();
  const owner = await house.open_ready({ address });
  await owner.open_panel("cards");
  await owner.page.locator("#cards-new").click();
  await owner.page.locator("#card-name").fill("Uncle's portable");
  await owner.page.locator("#card-name").blur();
  await owner.page.waitForFunction(() => /Uncle/.test(document.getElementById("cards-choice").selectedOptions[0]?.textContent ?? ""), undefined, { polling: 50 });
  await owner.close_panel();
  await asks(owner);
  await owner.page.locator("#friend-copy").click();
  const link = await value(owner, "friend-link");
  check(link.length < 400, `the link has ${link.length} characters`);
  const pixels = await owner.page.evaluate(() => document.getElementById("friend-code").width);
  check(pixels >= 21, `the code is ${pixels} modules wide`);

  const sound = [tone({ hz: 3150 * 0.991, seconds: 60, wow: [[7.6, 0.08]], carrier_to_noise_dbhz: 68 })];
  const friend = await house.open_ready({
    address, sound, fragment: new URL(link).hash,
    before: (context) => context.addInitScript(() => location.protocol === "http:" && localStorage.setItem("four76.visit-seconds", "8")), // half a minute is measured elsewhere
  });
  const told = await friend.message(/Somebody asks you/);
  check(told.messages.some((message) => message.includes("Side A <b>first</b>")), `as text: ${told.messages}`);
  check(/Somebody asks you/.test(await friend.page.locator("#welcome-friend").innerText()), "the friend meets the question");
  await friend.page.locator("#welcome-listen", { hasText: "Measure it for them" }).click();
  await friend.until_text("act-as-found", /Cancel, \d+ s/);
  await friend.page.waitForFunction(() => document.getElementById("friend").open, undefined, { polling: 100, timeout: 90_000 });
  await friend.until_text("friend-came", /a link how fast your machine \(portable\) runs/);
  same(await friend.page.locator("#friend-title").innerText(), "Send the result back", "the reply's title");
  await friend.until_text("friend-result", /^0\.9\d* % slow/);
  await friend.page.locator("#friend-note").fill("Belt looks tired");
  await friend.page.waitForFunction(() => /did=.*note=/.test(document.getElementById("friend-link").value), undefined, { polling: 50 });
  const back = await value(friend, "friend-link");

  await owner.page.goto(back); // another fragment of the same page: no reload
  await owner.message(/Somebody's result came by a link: \u22120\.9\d* /);
  await owner.page.locator("#friend [data-close]").click();
  await owner.press_in_messages("Open");
  await owner.page.locator("#friend:modal").waitFor();
  same(await owner.page.evaluate(() => document.getElementById("friend-card").selectedOptions[0].textContent), "Uncle's portable", "the card for which it was asked");
  await owner.page.evaluate(() => {
    for (let tap = 0; tap < 2; ++tap) document.getElementById("friend-file").click();
  });
  await owner.until_text("friend-said", /It is on the card/);
  await owner.page.waitForTimeout(1000); // for what the second tap might have begun
  same((await stored_cards(owner)).map(({ visits }) => visits.length), [1], "visits after two taps");
  same(await owner.page.evaluate(() => location.hash), "", "the address after filing");
  await owner.page.locator("#friend-filed").click();
  await owner.until_text("cards-visits", /\u2212?0\.90?\d? % slow/);
  await owner.until_text("cards-visits", /They write: Belt looks tired/);
  const percent = Number(/\u2212([\d.]+)/.exec(await owner.page.evaluate(() => document.getElementById("cards-visits").textContent.replace(/.*?([\d.]+)\u00a0% slow.*/s, "\u2212$1")))[1]);
  near(percent, 0.9, 0.02, "what the friend found");
  // Filed twice it is there once.
  await owner.close_panel();
  await owner.page.goto(back);
  await owner.message(/Somebody's result came/);
  await owner.press_in_messages("Open");
  await owner.page.locator("#friend-file").click();
  await owner.until_text("friend-said", /on a card already/);
}

async function broken_links(house) {
  for (const fragment of ["#v2.ask=k3f9x2&tone=3150&tol=0.5&sum=00000000", "#v2.<script>", "#v9.x=1", `#v2.ask=${"x".repeat(500)}`]) {
    const page = await house.open_ready({ fragment });
    await page.message(/Nothing was changed/);
    same(await page.page.locator("#control-tone").inputValue(), "3000", fragment);
  }
}

function link_looks(house) {
  return looks_right(house, "friend", {}, async (page) => {
    await page.open_panel("friend");
    await page.page.locator("#friend-note").fill("Side A, please, and once more at its end");
    await page.page.waitForFunction(() => document.getElementById("friend-link").value.includes("note="), undefined, { polling: 50 });
  }, { at_every_size: false });
}

export const tests = [
  ["friend: a link out, a result back, filed on the card for which it was asked", both_ways],
  ["friend: broken and hostile links change nothing", broken_links],
  ["friend: the link fits phone and desktop", link_looks],
];

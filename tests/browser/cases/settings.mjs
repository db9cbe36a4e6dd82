// Settings: by hand, by a link, kept on the device.
import { check, same } from "../check.mjs";

const controls = (page) => page.page.evaluate(() => Object.fromEntries([...document.querySelectorAll("[data-control]")].map((select) => [select.dataset.control, select.value])));
const kFirst = { tone: "3000", "tape-tolerance": "", tolerance: "0.5", unit: "percent", trace: "steady", device: "", channel: "both" };

async function link_sets_the_page_up(house) {
  const page = await house.open_ready({ fragment: "#v1.tone=3150&tol=0.3&note=Side%20A%20of%20%3Cb%3Emy%3C%2Fb%3E%20tape" });
  const told = await page.message(/fact: The link says: Side A of <b>my<\/b> tape/); // as text, never as markup
  same(await controls(page), { ...kFirst, tone: "3150", tolerance: "0.3" }, "controls");
  same(told.phase, "idle", "phase");
}

async function hostile_link_changes_nothing(house) {
  const hostile = [
    "#v2.tone=3150",
    "#v1.tone=3150&tol=500",
    "#v1.tone=1e3",
    "#v1.tone=3150&tone=3150",
    "#v1.tone=-3150",
    "#v1.tone=NaN&tol=0.3",
    "#v1.tone=3150&evil=1",
    "#v1.tone=3150&note=%3Cscript%3Ealert(1)%3C%2Fscript%3E%00",
    "#v1.tone=3150&note=%ff%fe",
    "#v1.tone=3150&note=" + "a".repeat(5000),
    "#v1.tone",
    "#<img src=x onerror=alert(1)>",
    "#%",
    "#v1." + "&".repeat(300),
  ];
  const page = await house.open_ready({ fragment: hostile[0] });
  await page.message(/warning: .*Nothing was changed\./);
  for (const fragment of hostile) {
    await page.page.evaluate((hash) => (location.hash = hash), "#v1.tol=1");
    await page.until("a good link", (now) => now.messages.length === 0);
    await page.page.evaluate((hash) => (location.hash = hash), fragment);
    await page.message(/warning: .*Nothing was changed\./);
    same(await controls(page), { ...kFirst, tolerance: "1" }, `controls after ${fragment.slice(0, 60)}`);
    check((await page.page.locator("#messages img, #messages script, #messages b").count()) === 0, "a link became markup");
  }
}

async function settings_are_kept(house) {
  const page = await house.open_ready();
  await page.choose("tone", "3150");
  await page.choose("unit", "cents");
  await page.choose("tolerance", "own");
  await page.page.locator("#ask-value").fill("99");
  await page.page.locator("#ask button[type=submit]").click();
  check(/from 0\.05 to 10 %/.test(await page.page.locator("#ask-fault").innerText()), "99 % is taken");
  await page.page.locator("#ask-value").fill("0,7"); // with a comma, as many write it
  await page.page.locator("#ask button[type=submit]").click();
  await page.page.waitForFunction(() => document.getElementById("control-tolerance").value === "0.7", undefined, { polling: 100 });
  await page.reload();
  same(await controls(page), { ...kFirst, tone: "3150", unit: "cents", tolerance: "0.7" }, "controls after a reload");
}

async function certificate_is_kept_with_its_tape(house) {
  const page = await house.open_ready();
  const own = async (control, text) => {
    await page.choose(control, "own");
    await page.page.locator("#ask-value").fill(text);
    await page.page.locator("#ask button[type=submit]").click();
  };
  await own("tone", "3003,27");
  await own("tape-tolerance", "0.02");
  const wanted = { ...kFirst, tone: "3003.27", "tape-tolerance": "0.02" };
  await page.page.waitForFunction(() => document.getElementById("control-tape-tolerance").value === "0.02", undefined, { polling: 100 });
  await page.reload();
  same(await controls(page), wanted, "controls after a reload");
  await page.choose("tone", "3150"); // another tape
  await page.page.waitForFunction(() => document.getElementById("control-tape-tolerance").value === "", undefined, { polling: 100 });
  await page.page.evaluate(() => (location.hash = "#v1.tone=3003.27&tapetol=0.02"));
  await page.page.waitForFunction(() => document.getElementById("control-tape-tolerance").value === "0.02", undefined, { polling: 100 });
  same(await controls(page), wanted, "controls after a link");
}

// Storage that is blocked, as some private windows have it: what was chosen holds as long as the page.
async function holds_without_storage(house) {
  const page = await house.open_ready({
    before: (context) => context.addInitScript(() => {
      Storage.prototype.setItem = () => {
        throw new DOMException("blocked", "SecurityError");
      };
    }),
  });
  await page.in_menu(() => page.page.locator("#look").selectOption("daylight"));
  same(await page.page.evaluate(() => document.documentElement.dataset.look), "daylight", "the look that was chosen");
  await page.choose("tone", "3150");
  await page.page.waitForFunction(() => document.getElementById("control-tone").value === "3150", undefined, { polling: 50 });
}

export const tests = [
  ["a link sets the page up", link_sets_the_page_up],
  ["a hostile link changes nothing and is said to", hostile_link_changes_nothing],
  ["settings are kept on the device", settings_are_kept],
  ["where nothing can be kept, a choice holds as long as the page", holds_without_storage],
  ["a certificate's figure and tolerance are kept, and go with their tape", certificate_is_kept_with_its_tape],
];

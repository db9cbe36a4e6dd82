// WebDriver: the few commands of the W3C's protocol (https://www.w3.org/TR/webdriver2/) that the suite needs, over HTTP.
const kElement = "element-6066-11e4-a52e-4f735466cecf"; // the name that the standard gives to a reference

export class WebDriver {
  #session;

  constructor(address) {
    this.address = address;
  }

  async begin(capabilities) {
    const { sessionId } = await this.#ask("POST", "/session", { capabilities: { alwaysMatch: capabilities } });
    this.#session = `/session/${sessionId}`;
    await this.#post("/timeouts", { script: 120_000, pageLoad: 120_000, implicit: 0 });
  }
  end() {
    return this.#ask("DELETE", this.#session);
  }

  open(url) {
    return this.#post("/url", { url });
  }
  reload() {
    return this.#post("/refresh", {});
  }
  // fn runs in the page, by its text: it can use its arguments alone.
  run(fn, args) {
    return this.#post("/execute/sync", { script: `return (${fn}).apply(null, arguments);`, args });
  }
  async click(selector) {
    await this.#post(`${await this.#element(selector)}/click`, {});
  }
  async type(selector, text) {
    await this.#post(`${await this.#element(selector)}/value`, { text });
  }
  async picture() {
    return Buffer.from(await this.#ask("GET", `${this.#session}/screenshot`), "base64");
  }
  size(width, height) {
    return this.#post("/window/rect", { width, height });
  }

  async #element(selector) {
    const found = await this.#post("/element", { using: "css selector", value: selector });
    return `/element/${found[kElement]}`;
  }
  #post(path, body) {
    return this.#ask("POST", this.#session + path, body);
  }
  async #ask(method, path, body) {
    const response = await fetch(this.address + path, { method, body: body && JSON.stringify(body), headers: { "Content-Type": "application/json" } });
    const { value } = await response.json();
    if (!response.ok) throw new Error(`${path.split("/").slice(3).join(" ") || "session"}: ${value.error}: ${value.message}`);
    return value;
  }
}

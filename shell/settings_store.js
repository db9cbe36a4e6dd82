// Small settings, on this device only. A browser that keeps nothing (private windows, blocked storage) is no fault:
// keep() then says false, and the setting lasts as long as the page.
const kPrefix = "four76.";
/** @type {Map<string, string>} */
const here = new Map(); // what could not be kept

/** @param {string} key @param {string} value */
export function keep(key, value) {
  try {
    localStorage.setItem(kPrefix + key, value);
    here.delete(key);
    return true;
  } catch {
    here.set(key, value);
    return false;
  }
}

/** @param {string} key */
export function kept(key) {
  const held = here.get(key);
  if (held !== undefined) return held;
  try {
    return localStorage.getItem(kPrefix + key);
  } catch {
    return null;
  }
}

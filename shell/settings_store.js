// Small settings, on this device only. A browser that keeps nothing (private windows, blocked storage) is no fault:
// keep() then says false, and the setting lasts as long as the page.
const kPrefix = "four76.";

export function keep(key, value) {
  try {
    localStorage.setItem(kPrefix + key, value);
    return true;
  } catch {
    return false;
  }
}

export function kept(key) {
  try {
    return localStorage.getItem(kPrefix + key);
  } catch {
    return null;
  }
}

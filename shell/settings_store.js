// Small settings, on this device only. A browser that keeps nothing (private windows, blocked storage) is no fault.
const kPrefix = "four76.";

export function keep(key, value) {
  try {
    localStorage.setItem(kPrefix + key, value);
  } catch {
    // the setting lasts as long as the page
  }
}

export function kept(key) {
  try {
    return localStorage.getItem(kPrefix + key);
  } catch {
    return null;
  }
}

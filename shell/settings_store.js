// Small settings, on this device only. A browser that keeps nothing (private windows, blocked storage) is no fault:
// keep() then says false, and the setting lasts as long as the page.
const kPrefix = "four76.";
const here = new Map(); // what could not be kept

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

export function kept(key) {
  if (here.has(key)) return here.get(key);
  try {
    return localStorage.getItem(kPrefix + key);
  } catch {
    return null;
  }
}

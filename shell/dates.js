// Dates, of this device: "2026-11-26", and with the time "2026-11-26 10:45".
export const two = (number) => String(number).padStart(2, "0");

export function today() {
  const now = new Date();
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
export function now_text() {
  const now = new Date();
  return `${today()} ${two(now.getHours())}:${two(now.getMinutes())}`;
}

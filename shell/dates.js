// Dates, of this device: "2026-11-26", and with the time "2026-11-26 10:45". So they are kept, written into files and sent;
// a person reads them as is usual in their language.
import { language } from "./words.js";

/** @param {number} number */
export const two = (number) => String(number).padStart(2, "0");

export function today() {
  const now = new Date();
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
export function now_text() {
  const now = new Date();
  return `${today()} ${two(now.getHours())}:${two(now.getMinutes())}`;
}

// The person's own kind of the language, such as en-GB, where the browser names one that is a tag ("en-US@posix" is none).
const locale = navigator.languages?.find((tag) => new RegExp(`^${language}(-[a-z0-9]+)*$`, "i").test(tag)) ?? language;
const kDay = new Intl.DateTimeFormat(locale, { dateStyle: "medium" });
const kMinute = new Intl.DateTimeFormat(locale, { dateStyle: "medium", timeStyle: "short" });

// A text as it is shown: what stands in it as a date is one.
/** @param {string} text */
export function dated(text) {
  return text.replace(/\b(\d{4})-(\d\d)-(\d\d)(?: (\d\d):(\d\d))?(?![\d-])/g, (written, year, month, day, hour, minute) => {
    const date = new Date(year, month - 1, day, hour ?? 0, minute ?? 0);
    if (date.getMonth() + 1 !== Number(month) || date.getDate() !== Number(day)) return written; // no such day
    return (hour === undefined ? kDay : kMinute).format(date);
  });
}

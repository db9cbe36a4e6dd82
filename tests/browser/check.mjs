// What a test says when something is not as it should be.

export class Failed extends Error {}

export function check(holds, what) {
  if (!holds) throw new Failed(what);
}
export function same(actual, expected, what) {
  check(JSON.stringify(actual) === JSON.stringify(expected), `${what}: ${JSON.stringify(actual)} instead of ${JSON.stringify(expected)}`);
}
export function near(actual, expected, within, what) {
  check(typeof actual === "number" && Math.abs(actual - expected) <= within, `${what}: ${actual} instead of ${expected} within ${within}`);
}
export function none(list, what) {
  check(list.length === 0, `${what}: ${list.slice(0, 8).join(" | ")}${list.length > 8 ? ` and ${list.length - 8} more` : ""}`);
}
// What a field of the mirror says: undefined where it is empty, which no number is near to.
export const number = (text) => (text === undefined || text === "" ? undefined : Number(text));
export const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;

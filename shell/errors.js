// Errors: what was thrown, as an Error; what browsers throw are such.
/** @param {unknown} thrown */
export const error_of = (thrown) => (thrown instanceof Error ? thrown : new Error(String(thrown)));

// Saves a text or a blob as a file, by the browser's own way of doing it.
/** @param {string} name @param {string} type @param {string | Blob} content */
export function save_file(name, type, content) {
  const address = URL.createObjectURL(content instanceof Blob ? content : new Blob([content], { type }));
  const link = Object.assign(document.createElement("a"), { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000); // the browser may still be asking where to
}

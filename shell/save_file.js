// Saves a text as a file, by the browser's own way of doing it.
export function save_file(name, type, text) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = Object.assign(document.createElement("a"), { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000); // the browser may still be asking where to
}

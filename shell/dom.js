// Dom: elements found, made and filled.
export const $ = (id) => document.getElementById(id);

export function element(tag, properties = {}, ...children) {
  const made = Object.assign(document.createElement(tag), properties);
  made.append(...children);
  return made;
}

// Beside something in a list: what it does, and for a screen reader to what.
export function list_button(text, label, act) {
  const made = element("button", { type: "button", textContent: text, ariaLabel: label });
  made.addEventListener("click", act);
  return made;
}

// A dialog is opened by many hands; `opened` hears of it, and `closed` of its end.
export function when_opened(dialog, opened, closed = () => {}) {
  new MutationObserver(() => (dialog.open ? opened() : closed())).observe(dialog, { attributeFilter: ["open"] });
}

// A screen reader hears of changes only.
export function set_text(place, text) {
  if (place.textContent !== text) place.textContent = text;
}

// once(part, value, make): a part is made anew only where it comes of another value. Somebody may be reading the rest.
export function once_each() {
  const shown = {}; // what each part was last made from, as JSON
  return (part, value, make) => {
    const json = JSON.stringify(value);
    if (shown[part] === json) return;
    shown[part] = json;
    make();
  };
}

// An act that takes a while is not begun again before it has ended: a second tap would do it twice.
export function one_at_a_time(act) {
  let runs = false;
  return async (...told) => {
    if (runs) return;
    runs = true;
    try {
      await act(...told);
    } finally {
      runs = false;
    }
  };
}

// What is wrong with how the page's HTML is laid out; runs within the page.
//
// Every control that can be seen must lie within the window, or be scrolled there, be at least 44 px wide and high, and
// answer at its middle and near its corners, which nothing else may cover. No text may be cut off, nothing may scroll
// sideways. A panel or dialog that is open covers the rest on purpose: then its own controls alone are looked at.
export function layout_faults() {
  const kTarget = 44, kDrawn = 24; // of the drawing's own, on the smallest canvas: WCAG 2.2, 2.5.8
  const faults = [];
  const name = (element) => element.id || `${element.tagName.toLowerCase()} "${element.textContent.trim().slice(0, 24)}"`;
  const seen = (element) => element.checkVisibility() && !element.closest(".apart") && element.getBoundingClientRect().width > 0;
  const over = [...document.querySelectorAll("dialog:modal, #settings.open")].filter(seen).at(-1);
  const root = over ?? document.body;
  const all = [root, ...root.querySelectorAll("*")].filter(seen);

  if (document.scrollingElement.scrollWidth > innerWidth) faults.push(`the page is ${document.scrollingElement.scrollWidth} px wide`);
  for (const element of all.filter(({ id }) => id !== "machine-name")) { // which may be of any length
    if (element.ownerSVGElement) continue; // a drawing's text scales with it: its scroll sizes say nothing
    const style = getComputedStyle(element);
    const has_text = [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.textContent.trim() !== "");
    const scrolls = /auto|scroll/.test(style.overflowX);
    if ((has_text || scrolls) && element.clientWidth > 0 && element.scrollWidth > element.clientWidth + 1) {
      faults.push(`${name(element)}: ${element.scrollWidth} px of content in ${element.clientWidth} px`);
    }
    const cut = /hidden|clip/.test(style.overflowY) || element.tagName === "BUTTON";
    if (has_text && cut && element.scrollHeight > element.clientHeight + 1) faults.push(`${name(element)}: cut off below`);
  }

  // What lies over the element there; nothing where it answers itself.
  const covering = (element, [x, y]) => {
    const hit = document.elementFromPoint(x, y);
    return hit !== null && (element === hit || element.contains(hit)) ? [] : [hit === null ? "nothing" : name(hit)];
  };
  for (const control of all.filter((element) => element.matches("button, select, input, a[href]"))) {
    control.scrollIntoView({ block: "nearest", inline: "nearest" });
    const { left, top, right, bottom, width, height } = control.getBoundingClientRect();
    if (left < -1 || top < -1 || right > innerWidth + 1 || bottom > innerHeight + 1) faults.push(`${name(control)}: outside the window`);
    const target = control.closest("#drawn") ? kDrawn : kTarget;
    if (width < target - 0.5 || height < target - 0.5) faults.push(`${name(control)}: ${width.toFixed(0)} by ${height.toFixed(0)} px`);
    const inset = 5; // within the rounded corners
    const points = [[(left + right) / 2, (top + bottom) / 2], [left + inset, top + inset], [right - inset, top + inset], [left + inset, bottom - inset], [right - inset, bottom - inset]];
    const over_it = points.flatMap((point) => covering(control, point));
    if (over_it.length > 0) faults.push(`${name(control)}: covered by ${over_it[0]}`);
  }
  return faults;
}

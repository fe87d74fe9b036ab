/* What a cell has just shown comes wholly into view. */
const NEAR = 60; // px below the edge of what scrolls: it would be shown next
const SETTLED = 300; // ms: what stands above it in the same cell is laid out by then

/** The element round this one that scrolls. */
function scrolls(el) {
  let box = el.parentElement;
  while (box && !(box.scrollHeight > box.clientHeight + 1 && /auto|scroll/.test(getComputedStyle(box).overflowY)))
    box = box.parentElement;
  return box ?? document.documentElement;
}

/** Scroll it up where it begins in view and ends below, if somebody pressed a key or button just now. A notebook that runs
 * its cells by itself stays where it is. */
function look(el) {
  if (!navigator.userActivation?.isActive) return;
  const all = el.getBoundingClientRect();
  const view = scrolls(el).getBoundingClientRect();
  const begins = all.top > view.top - 1 && all.top < view.bottom + NEAR;
  if (begins && all.bottom > view.bottom) el.scrollIntoView({ block: "nearest" });
}

/** Look once it has a size, and once more when all is laid out; gives what ends the waiting. */
export function come_into_view(el) {
  let later = null;
  const waiting = new ResizeObserver(() => {
    if (!el.clientHeight) return;
    waiting.disconnect();
    look(el);
    later = setTimeout(() => look(el), SETTLED);
  });
  waiting.observe(el);
  return () => {
    waiting.disconnect();
    clearTimeout(later);
  };
}

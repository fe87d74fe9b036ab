/* What a cell has just shown comes wholly into view. */
const NEAR = 60; // px below the edge of what scrolls: it would be shown next

/** The element round this one that scrolls. */
function scrolls(el) {
  let box = el.parentElement;
  while (box && !(box.scrollHeight > box.clientHeight + 1 && /auto|scroll/.test(getComputedStyle(box).overflowY)))
    box = box.parentElement;
  return box ?? document.documentElement;
}

/** Once it has a size: scroll it up where it begins in view and ends below, if somebody pressed a key or button just now.
 * A notebook that runs its cells by itself stays where it is. Gives what ends the waiting. */
export function come_into_view(el) {
  const waiting = new ResizeObserver(() => {
    const all = el.getBoundingClientRect();
    if (!all.height) return;
    waiting.disconnect();
    if (!navigator.userActivation?.isActive) return;
    const view = scrolls(el).getBoundingClientRect();
    const begins = all.top > view.top - 1 && all.top < view.bottom + NEAR;
    if (begins && all.bottom > view.bottom) el.scrollIntoView({ block: "nearest" });
  });
  waiting.observe(el);
  return () => waiting.disconnect();
}

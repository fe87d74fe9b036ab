/* A map: how late each part turns, over how fast it swings by itself and how soon it settles.
 *
 * Reads    label, swings, settles (the two axes), lags (rows of numbers, null where nothing links up), at ([row, column])
 * Writes   at
 */

const CELL = 24; // px, the least a finger needs
const SHADES = 6; // from 0 to 3 drawings of 24 and more

/** Which shade of graphite a lag has: 0 the paper, SHADES - 1 the darkest. */
export function shade(lag) {
  return Math.max(0, Math.min(SHADES - 1, Math.floor(lag * 2)));
}

/** What a place on the map says. */
export function told(swings, settles, lag) {
  const where = `swings ${swings.toFixed(1)} a second, settles ${settles.toFixed(2)}`;
  if (lag === null) return `${where}: nothing links up there.`;
  const by = `${Math.abs(lag).toFixed(1)} drawings of 24`;
  return `${where}: the part that is least late turns ${by} ${lag < 0 ? "before" : "after"} the one that carries it.`;
}

function render({ model, el }) {
  const life = new AbortController();
  const make = (name, marks, into) => {
    const node = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [mark, value] of Object.entries(marks)) node.setAttribute(mark, value);
    return into.appendChild(node);
  };
  const root = document.createElement("div");
  root.className = "anim-lag-map";
  const says = document.createElement("p");
  says.setAttribute("role", "status");
  let svg, ring;

  function paint() {
    const swings = model.get("swings"), settles = model.get("settles"), lags = model.get("lags");
    const wide = settles.length * CELL, high = swings.length * CELL;
    svg?.remove();
    svg = make("svg", { viewBox: `-64 -8 ${wide + 72} ${high + 48}`, tabindex: 0, role: "group", "aria-label": model.get("label") }, root);
    root.prepend(svg);
    lags.forEach((row, i) => row.forEach((lag, j) => {
      const place = { x: j * CELL, y: (swings.length - 1 - i) * CELL };
      const cell = make("rect", { ...place, width: CELL, height: CELL, class: lag === null ? "none" : `shade${shade(lag)}` }, svg);
      cell.dataset.row = i;
      cell.dataset.column = j;
      if (lag === null) make("path", { d: `M${place.x + 7},${place.y + 7}l10,10m0,-10l-10,10`, class: "cross" }, svg);
    }));
    const word = (text, marks) => { make("text", marks, svg).textContent = text; };
    word("settles soon →", { x: wide, y: high + 30, "text-anchor": "end" });
    word(settles[0].toFixed(1), { x: CELL / 2, y: high + 14, "text-anchor": "middle" });
    word(settles.at(-1).toFixed(1), { x: wide - CELL / 2, y: high + 14, "text-anchor": "middle" });
    word("swings", { x: -8, y: 30, "text-anchor": "end" });
    word("quickly ↑", { x: -8, y: 46, "text-anchor": "end" });
    word(swings.at(-1).toFixed(1), { x: -8, y: CELL / 2 + 4, "text-anchor": "end" });
    word(swings[0].toFixed(1), { x: -8, y: high - CELL / 2 + 4, "text-anchor": "end" });
    ring = make("rect", { width: CELL, height: CELL, class: "ring" }, svg);
    mark();
  }

  function mark() {
    const [i, j] = model.get("at");
    const swings = model.get("swings");
    ring.setAttribute("x", j * CELL);
    ring.setAttribute("y", (swings.length - 1 - i) * CELL);
    root.dataset.row = i;
    root.dataset.column = j;
    says.textContent = told(swings[i], model.get("settles")[j], model.get("lags")[i][j]);
  }

  function go(i, j) {
    const within = (value, count) => Math.max(0, Math.min(count - 1, value));
    model.set("at", [within(i, model.get("swings").length), within(j, model.get("settles").length)]);
    model.save_changes();
  }

  root.addEventListener("click", (event) => {
    const { row, column } = event.target.dataset ?? {};
    if (row !== undefined && event.target !== root) go(Number(row), Number(column));
  }, { signal: life.signal });
  root.addEventListener("keydown", (event) => {
    const step = { ArrowUp: [1, 0], ArrowDown: [-1, 0], ArrowRight: [0, 1], ArrowLeft: [0, -1] }[event.key];
    if (!step) return;
    event.preventDefault();
    event.stopPropagation(); // the notebook moves on with arrows
    const [i, j] = model.get("at");
    go(i + step[0], j + step[1]);
  }, { signal: life.signal });

  root.append(says);
  model.on("change:lags", paint);
  model.on("change:at", mark);
  paint();
  el.append(root);
  return () => {
    model.off("change:lags", paint);
    model.off("change:at", mark);
    life.abort();
    root.remove();
  };
}

export default { render };

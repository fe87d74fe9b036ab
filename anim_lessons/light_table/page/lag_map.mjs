/* A map: how late each part turns, over how fast it swings by itself and how soon it settles; and where the learner stands.
 *
 * Reads    label, swings, settles (the two axes), lags (rows of numbers, null where it cannot be told), found (rows, false where
 *          nothing links up), old (the map is of other settings), own ({swings, settles, lag, found, drawn: [swings, settles],
 *          revision: of what it answers}), revision
 * Writes   chosen ([swings, settles]), revision (one higher with every choice)
 */
import { follow, h, put, s, say } from "./tools.mjs";

const CELL = 14; // px; nobody has to hit one, every place between them can be chosen
const FROM = [0.2, 0.4, 0.8, 1.6, 3.2]; // drawings of 24 from which each shade begins; overlap asks for 0.4
// px round the map, for words
const LEFT = 62;
const TOP = 4;
const RIGHT = 24;
const BELOW = 54;

/** Which shade of graphite a lag has: 0 the paper, FROM.length the darkest. */
export function shade(lag) {
  return FROM.filter((from) => lag >= from).length;
}

/** What a place on the map says. */
export function told({ swings, settles, lag, found }) {
  const where = `swings ${swings.toFixed(1)} a second, settles ${settles.toFixed(2)}`;
  if (!found) return `${where}: nothing links up there. The drawings are from before.`;
  if (lag === null) return `${where}: it links up, but there is too little swing to tell how late.`;
  const by = `${Math.abs(lag).toFixed(1)} drawings of 24`;
  if (lag < 0) return `${where}: a part turns ${by} before the one that carries it.`;
  return `${where}: each part turns at least ${by} after the one that carries it.`;
}

/** Where a value stands along an even axis, in cells from the edge: the first value in the middle of the first
 * cell. */
export function along(axis, value) {
  return (value - axis[0]) / (axis[1] - axis[0]) + 0.5;
}

/** The value at a place along an axis; beyond the ends the end. */
export function valueAt(axis, place) {
  return Math.min(axis.at(-1), Math.max(axis[0], axis[0] + (place - 0.5) * (axis[1] - axis[0])));
}

function render({ model, el }) {
  const life = new AbortController();
  const make = (name, marks, into) => into.appendChild(s(name, marks));
  const says = h("p", { role: "status" });
  const svg = s("svg", { tabindex: 0, role: "group" });
  const root = h("div", { class: "anim-lag-map" }, svg);
  let marks, at;

  function paint() {
    const swings = model.get("swings"),
      settles = model.get("settles"),
      lags = model.get("lags"),
      found = model.get("found");
    const wide = settles.length * CELL,
      high = swings.length * CELL;
    svg.replaceChildren();
    svg.setAttribute("viewBox", `${-LEFT} ${-TOP} ${wide + LEFT + RIGHT} ${high + TOP + BELOW}`);
    put(svg, { "aria-label": model.get("label") });
    svg.style.width = `${wide + LEFT + RIGHT}px`;
    lags.forEach((row, i) =>
      row.forEach((lag, j) => {
        const place = { x: j * CELL, y: (swings.length - 1 - i) * CELL };
        const cell = make(
          "rect",
          { ...place, width: CELL, height: CELL, class: lag === null ? "none" : `shade${shade(lag)}` },
          svg,
        );
        cell.dataset.row = i;
        cell.dataset.column = j;
        if (!found[i][j])
          make("path", { d: cross(place.x + CELL / 2, place.y + CELL / 2), class: "cross" }, svg);
      }),
    );
    const word = (text, marks) => {
      say(make("text", marks, svg), String(text));
    };
    word("settles soon →", { x: wide / 2, y: high + 14, "text-anchor": "middle" });
    word(settles[0].toFixed(1), { x: CELL / 2, y: high + 14, "text-anchor": "middle" });
    word(settles.at(-1).toFixed(1), { x: wide - CELL / 2, y: high + 14, "text-anchor": "middle" });
    word("swings", { x: -8, y: high / 2 - 4, "text-anchor": "end" });
    word("quickly ↑", { x: -8, y: high / 2 + 11, "text-anchor": "end" });
    word(swings.at(-1).toFixed(1), { x: -8, y: CELL / 2 + 4, "text-anchor": "end" });
    word(swings[0].toFixed(1), { x: -8, y: high - CELL / 2 + 4, "text-anchor": "end" });
    for (let k = 0; k <= FROM.length; k++) {
      make("rect", { x: k * 24, y: high + 22, width: 24, height: 10, class: `shade${k}` }, svg);
      if (k) word(FROM[k - 1], { x: k * 24, y: high + 44, "text-anchor": "middle" });
    }
    word("drawings late", { x: (FROM.length + 1) * 24 + 7, y: high + 31 });
    if (found.flat().includes(false)) {
      make("path", { d: cross((FROM.length + 1) * 24 + 12, high + 41), class: "cross" }, svg);
      word("no loop", { x: (FROM.length + 1) * 24 + 21, y: high + 45 });
    }
    marks = make("g", { class: "marks" }, svg);
    mark();
  }

  const cross = (x, y) => `M${x - 3},${y - 3}l6,6m0,-6l-6,6`;

  /** A mark with its name, on the side on which there is room. */
  function stand([swings, settles], name, kind) {
    const across = model.get("settles"),
      up = model.get("swings");
    const x = along(across, settles) * CELL,
      y = (up.length - along(up, swings)) * CELL;
    const right = x < (across.length * CELL) / 2;
    make("circle", { cx: x, cy: y, r: 6, class: "halo" }, marks);
    make("circle", { cx: x, cy: y, r: 6, class: kind }, marks);
    if (kind === "mine") make("circle", { cx: x, cy: y, r: 1.6, class: "point" }, marks);
    const text = make(
      "text",
      { x: x + (right ? 11 : -11), y: y + 4, "text-anchor": right ? "start" : "end", class: "name" },
      marks,
    );
    say(text, name);
  }

  function mark() {
    const own = model.get("own");
    if (at && own.revision < model.get("revision")) return place(); // the newest choice has no answer yet
    at = [own.swings, own.settles];
    root.dataset.row = Math.round(along(model.get("swings"), own.swings) - 0.5);
    root.dataset.column = Math.round(along(model.get("settles"), own.settles) - 0.5);
    root.dataset.found = own.found;
    say(says, told(own));
    place();
  }

  function place() {
    const own = model.get("own");
    marks.replaceChildren();
    if (!own.found) stand(own.drawn, "the drawings", "left");
    stand(at, "yours", "mine");
  }

  function age() {
    root.classList.toggle("old", model.get("old"));
    svg.setAttribute("aria-busy", model.get("old"));
  }

  function go(swings, settles) {
    const [up, across] = [model.get("swings"), model.get("settles")];
    at = [valueAt(up, along(up, swings)), valueAt(across, along(across, settles))];
    place(); // at once; Python answers with all the rest
    model.set("chosen", at);
    model.set("revision", model.get("revision") + 1);
    model.save_changes();
  }

  function under(event) {
    const box = svg.getBoundingClientRect();
    const scale = (model.get("settles").length * CELL + LEFT + RIGHT) / box.width;
    const x = (event.clientX - box.left) * scale - LEFT,
      y = (event.clientY - box.top) * scale - TOP;
    return [
      valueAt(model.get("swings"), model.get("swings").length - y / CELL),
      valueAt(model.get("settles"), x / CELL),
    ];
  }

  root.addEventListener(
    "pointerdown",
    (event) => {
      if (event.button !== 0 || event.target.dataset?.row === undefined || event.target === root) return;
      root.setPointerCapture(event.pointerId); // the map under the pointer may be laid anew
      go(...under(event));
    },
    { signal: life.signal },
  );
  root.addEventListener(
    "pointermove",
    (event) => {
      if (root.hasPointerCapture(event.pointerId)) go(...under(event));
    },
    { signal: life.signal },
  );
  root.addEventListener(
    "keydown",
    (event) => {
      const step = { ArrowUp: [1, 0], ArrowDown: [-1, 0], ArrowRight: [0, 1], ArrowLeft: [0, -1] }[event.key];
      if (!step) return;
      event.preventDefault();
      event.stopPropagation(); // the notebook moves on with arrows
      const [up, across] = [model.get("swings"), model.get("settles")];
      go(at[0] + step[0] * (up[1] - up[0]), at[1] + step[1] * (across[1] - across[0]));
    },
    { signal: life.signal },
  );

  root.append(says);
  const watched = { "change:lags": paint, "change:found": paint, "change:own": mark, "change:old": age };
  const leave = follow(model, watched);
  paint();
  age();
  el.append(root);
  return () => {
    leave();
    life.abort();
    root.remove();
  };
}

export default { render };

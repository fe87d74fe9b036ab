/* Small tools of every page: elements, pools of elements, words, keys. */
// Controls, separators of lines, what turns the writing round, what is no character.
const UNSEEN = /[\0-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]/gu;
const STACKED = /(\p{M}{4})(?=\p{M})/gu; // accents on one letter, more of which would grow over what stands beside
const RIGHT_TO_LEFT =
  /[\u0590-\u08ff\u200f\ufb1d-\ufdff\ufe70-\ufefc\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;
const pictured = (c) => {
  const code = c.codePointAt(0);
  if (code < 0x20) return String.fromCodePoint(0x2400 + code);
  return { 0x7f: "\u2421", 0x2028: "\u2424", 0x2029: "\u2424" }[code] ?? "\ufffd";
};
/** A text in which nothing is unseen and nothing reaches beyond it: `visible` of Python's model/printable.py once
 * more, which says why. */
export const visible = (text) => text.replace(UNSEEN, pictured).replace(STACKED, "$1\u25cc");
/** The same of what the page is told to show; lines of a note may end, and what is no text stays. Whatever puts
 * words into an element is one of the tools here, and they all pass through this. */
const shown = (text) =>
  typeof text === "string"
    ? text.replace(UNSEEN, (c) => (c === "\n" || c === "\t" ? c : pictured(c))).replace(STACKED, "$1\u25cc")
    : text;
const READ = new Set(["title", "aria-label", "aria-valuetext", "placeholder"]);

const fill = (node, attributes, inside) => {
  put(node, attributes);
  node.append(...inside.map(shown));
  return node;
};
export const h = (tag, attributes = {}, ...inside) => fill(document.createElement(tag), attributes, inside);
export const s = (tag, attributes = {}, ...inside) =>
  fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, inside);

/** Set attributes, touching only what differs: null takes one away. */
export function put(node, attributes) {
  for (const [name, given] of Object.entries(attributes)) {
    const value = READ.has(name) ? shown(given) : given;
    if (value === null || value === false) node.removeAttribute(name);
    else if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
  }
}
export function say(node, words) {
  const seen = shown(words);
  if (node.textContent !== seen) node.textContent = seen;
}

const MOST = 34; // letters of a name in a line
const IN_SHORT = 320; // letters of a sentence
/** A text of at most so many letters, ended by … where it was longer; an accent stays with its letter. */
export function cut(text, most) {
  const letters = [...text];
  if (letters.length <= most) return text;
  let end = most - 1;
  while (
    end > 1 &&
    (/\p{M}/u.test(letters[end]) || letters[end] === "\u200d" || letters[end - 1] === "\u200d")
  )
    end -= 1;
  return `${letters.slice(0, end).join("").trimEnd()}…`;
}
/** The name of a limb or joint, or a title, in a line: cut, and where it is written from right to left between marks
 * (U+200E) that keep what stands beside it in its place (Unicode Standard Annex 9, from memory). */
export function named(name, most = MOST) {
  const short = cut(visible(name).replace(/^joint (\d+)$/, "fold $1"), most); // as words.shown of Python
  if (!short.trim()) return "(blank)";
  return RIGHT_TO_LEFT.test(short) ? `\u200e${short}\u200e` : short;
}
/** The whole of a name for a tooltip; null where the line has all of it. */
export const whole_name = (name, most = MOST) => (visible(name).length > most ? name : null);
/** Say a name in a place where there is room for so many letters, the whole of it on asking. */
export function call(node, name, most = MOST) {
  const [short, whole] = [name && named(name, most), whole_name(name, most)];
  if (!node.ownerSVGElement) put(node, { title: whole });
  else if (whole && node.firstChild?.nodeValue !== short)
    return node.replaceChildren(short, s("title", {}, whole));
  if (!node.ownerSVGElement || !whole) say(node, short);
}
/** A sentence of Python's with long names in it, its middle left out; the whole of it on asking. */
export function say_in_short(node, words, most = IN_SHORT) {
  const long = words?.length > most;
  say(
    node,
    long
      ? `${cut(words, Math.ceil(most * 0.66))} ${[...words].slice(-Math.floor(most * 0.33)).join("")}`
      : words,
  );
  put(node, { title: long ? words : null });
  return node;
}

/** Parts of a picture painted one after the other: one that fails is told of and does not stop the rest. */
export function one_by_one(...parts) {
  for (const part of parts)
    try {
      part();
    } catch (error) {
      console.error(error);
    }
}

/** As many nodes as asked for, made once and kept: the picture is changed, not built anew. */
export function pool(parent, make) {
  const all = [];
  return (count) => {
    while (all.length < count) all.push(parent.appendChild(make(all.length)));
    while (all.length > count) all.pop().remove();
    return all;
  };
}
/** Whether a node is to be built anew: it was made of something else. `made_of` is a WeakMap of the state. */
export function changed(made_of, node, words) {
  if (made_of.get(node) === words) return false;
  made_of.set(node, words);
  return true;
}
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
/** A joint in a sentence; one that has only a number goes without an article, as in Python's words.the. */
export const the = (joint) => (/\d$/.test(joint) ? named(joint) : `the ${named(joint)}`);
export const deg = (value) => `${Math.abs(value) < 10 && value % 1 ? value.toFixed(1) : Math.round(value)}°`;

/** Answer a model's changes, {event: act}; gives what ends it. */
export function follow(model, watch) {
  const each = Object.entries(watch);
  for (const one of each) model.on(...one);
  return () => each.forEach((one) => model.off(...one));
}

/** A key or press that has been used here goes no further. */
export const used = (e) => {
  e.preventDefault();
  e.stopPropagation();
};

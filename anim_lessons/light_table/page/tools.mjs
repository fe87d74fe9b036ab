/* Small tools of every page: elements, pools of elements, words, keys. */
const fill = (node, attributes, inside) => {
  put(node, attributes);
  node.append(...inside);
  return node;
};
export const h = (tag, attributes = {}, ...inside) => fill(document.createElement(tag), attributes, inside);
export const s = (tag, attributes = {}, ...inside) =>
  fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, inside);

/** Set attributes, touching only what differs: null takes one away. */
export function put(node, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === false) node.removeAttribute(name);
    else if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
  }
}
export const say = (node, words) => node.textContent !== words && (node.textContent = words);

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
export const the = (joint) => (/\d$/.test(joint) ? joint : `the ${joint}`);
export const deg = (value) => `${Math.abs(value) < 10 && value % 1 ? value.toFixed(1) : Math.round(value)}°`;

/** A key or press that has been used here goes no further. */
export const used = (e) => {
  e.preventDefault();
  e.stopPropagation();
};

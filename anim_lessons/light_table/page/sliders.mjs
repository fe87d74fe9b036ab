/* Sliders: one native slider a number, each with its name and its value in words.
 *
 * Reads    label, sliders ([{name, label, least, most, step, unit}]), values, revision
 * Writes   values, revision (one higher with every change)
 */
import { h, put, say } from "./tools.mjs";

const FIRST = 4; // sliders that are seen at once; the others are folded up

function render({ model, el }) {
  const life = new AbortController();
  const rows = new Map();
  const root = h("fieldset", { class: "anim-sliders" }, h("legend", {}, model.get("label")));
  const all = model.get("sliders");
  const rest = all.slice(FIRST);
  const folded = h(
    "details",
    {},
    h("summary", {}, `${rest.length} more`),
  );

  for (const [i, { name, label, least, most, step, unit }] of all.entries()) {
    const input = h("input", { type: "range", min: least, max: most, step });
    const value = h("b");
    const places = step < 1 ? String(step).split(".")[1].length : 0;
    const show = (number) => {
      input.value = number;
      say(value, Number(number).toFixed(places) + unit);
      put(input, { "aria-valuetext": value.textContent });
    };
    input.addEventListener(
      "input",
      () => {
        show(input.valueAsNumber);
        model.set("values", { ...model.get("values"), [name]: input.valueAsNumber });
        model.set("revision", model.get("revision") + 1);
        model.save_changes();
      },
      { signal: life.signal },
    );
    // The notebook listens for letters, and moves on with arrows.
    input.addEventListener("keydown", (event) => event.stopPropagation(), { signal: life.signal });
    (i < FIRST || rest.length < 2 ? root : folded).append(
      h("label", { "data-slider": name }, h("span", {}, label), input, value),
    );
    rows.set(name, show);
  }

  const paint = () => rows.forEach((show, name) => show(model.get("values")[name]));
  model.on("change:values", paint);
  paint();
  if (rest.length > 1) root.append(folded);
  el.append(root);
  return () => {
    model.off("change:values", paint);
    life.abort();
    root.remove();
  };
}

export default { render };

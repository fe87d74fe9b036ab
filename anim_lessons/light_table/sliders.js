/* Sliders: one native slider a number, each with its name and its value in words.
 *
 * Reads    label, sliders ([{name, label, least, most, step, unit}]), values
 * Writes   values
 */

function render({ model, el }) {
  const life = new AbortController();
  const rows = new Map();
  const root = document.createElement("fieldset");
  root.className = "anim-sliders";
  const legend = document.createElement("legend");
  legend.textContent = model.get("label");
  root.append(legend);

  for (const { name, label, least, most, step, unit } of model.get("sliders")) {
    const row = document.createElement("label");
    row.dataset.slider = name;
    const words = document.createElement("span");
    words.textContent = label;
    const input = Object.assign(document.createElement("input"), { type: "range", min: least, max: most, step });
    const value = document.createElement("b");
    const places = step < 1 ? String(step).split(".")[1].length : 0;
    const show = (number) => {
      input.value = number;
      value.textContent = Number(number).toFixed(places) + unit;
      input.setAttribute("aria-valuetext", value.textContent);
    };
    input.addEventListener("input", () => {
      show(input.valueAsNumber);
      model.set("values", { ...model.get("values"), [name]: input.valueAsNumber });
      model.save_changes();
    }, { signal: life.signal });
    // The notebook listens for letters, and moves on with arrows.
    input.addEventListener("keydown", (event) => event.stopPropagation(), { signal: life.signal });
    row.append(words, input, value);
    root.append(row);
    rows.set(name, show);
  }

  const paint = () => rows.forEach((show, name) => show(model.get("values")[name]));
  model.on("change:values", paint);
  paint();
  el.append(root);
  return () => {
    model.off("change:values", paint);
    life.abort();
    root.remove();
  };
}

export default { render };

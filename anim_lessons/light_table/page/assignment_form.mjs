/* The form in which homework is set: native fields with names, what is wrong beside each, and one button.
 *
 * Reads    values (what is filled in), choices ({begin, limbs, guides: [[key, words]], rules}), begun, faults ({field: sentence}),
 *          notes, brief, says, revision, judged (the revision that faults and brief are about)
 * Writes   values, revision (one higher with every change)
 * Sends    {ask: "write", revision}, {ask: "begin", what: key, revision}
 */
import { changed, follow, h, put, say } from "./tools.mjs";

const ELBOWS = [
  ["natural", "natural: it stays within its stops"],
  ["loose", "loose: it may break a little past straight where it turns back"],
];
const EXPOSURES = [
  ["ones", "on ones"],
  ["twos", "on twos"],
  ["threes", "on threes"],
  ["own", "as the learner likes"],
];
const STRICT = ["loose", "usual", "strict"];
const NEW_PART = { joint: "", length: 40, least: -60, greatest: 60 };

function render({ model, el }) {
  const life = new AbortController();
  const made_of = new WeakMap();
  const shows = []; // functions that lay the values into their fields
  const fields = new Map(); // key -> {input, fault}: where a sentence stands
  let number = 0; // of the next id

  const values = () => model.get("values");
  const on = (node, type, act) => node.addEventListener(type, act, { signal: life.signal });
  const id = () => `anim-form-${model.model_id ?? "x"}-${(number += 1)}`;
  const set = (changes) => {
    model.set("values", { ...values(), ...changes });
    model.set("revision", model.get("revision") + 1);
    model.save_changes();
  };
  const ask = (what) => model.send({ ...what, revision: model.get("revision") });
  /** Lay a value into a field, unless somebody is typing in it. */
  const lay = (input, value) => {
    if (document.activeElement !== input && input.value !== String(value ?? "")) input.value = value ?? "";
  };
  const read = (input) => (input.type === "number" ? (Number.isFinite(input.valueAsNumber) ? input.valueAsNumber : "") : input.value);

  /** A place for a sentence about a field; `inputs` are told of it. */
  const fault_line = (key, ...inputs) => {
    const fault = h("p", { class: "fault", id: id() });
    for (const input of inputs) put(input, { "aria-describedby": `${input.getAttribute("aria-describedby") ?? ""} ${fault.id}`.trim() });
    fields.set(key, { inputs, fault });
    return fault;
  };
  const bound = (input, get, change) => {
    on(input, "input", () => change(read(input)));
    shows.push(() => lay(input, get()));
    return input;
  };
  const simple = (key, tag, attributes) => bound(h(tag, attributes), () => values()[key], (value) => set({ [key]: value }));
  const labelled = (words, input, hint = "") => {
    const told = hint ? [h("small", { id: id() }, hint)] : [];
    put(input, { id: id(), "aria-describedby": told[0]?.id ?? null });
    return h("div", { class: "labelled" }, h("label", { for: input.id }, words), input, ...told);
  };
  const field = (key, words, input, hint) => h("div", { class: "field", "data-field": key }, labelled(words, input, hint), fault_line(key, input));
  const select = (key, words, options, hint) => {
    const input = simple(key, "select", {});
    input.append(...options.map(([value, text]) => h("option", { value }, text)));
    return field(key, words, input, hint);
  };
  const part = (title, ...inside) => h("fieldset", {}, h("legend", {}, title), ...inside);
  const row = (...inside) => h("div", { class: "row" }, ...inside);

  // ---- begin with, and what it is ----
  const begin = h("select", {});
  on(begin, "change", () => ask({ ask: "begin", what: begin.value }));
  const limb = simple("limb", "select", {});
  const guide = simple("guide", "select", {});

  // ---- a limb of one's own ----
  const rows = h("tbody");
  const own_name = simple("limb_name", "input", { type: "text" });
  const more = h("button", { type: "button" }, "one part more");
  const fewer = h("button", { type: "button" }, "one part less");
  on(more, "click", () => set({ parts: [...values().parts, NEW_PART] }));
  on(fewer, "click", () => set({ parts: values().parts.slice(0, -1) }));
  const cell = (i, key, label) => {
    const input = h("input", { type: key === "joint" ? "text" : "number", step: "any", "aria-label": label });
    on(input, "input", () => set({ parts: values().parts.map((one, k) => (k === i ? { ...one, [key]: read(input) } : one)) }));
    return input;
  };
  const paint_parts = () => {
    const parts = values().parts ?? [];
    if (changed(made_of, rows, String(parts.length)))
      rows.replaceChildren(
        ...parts.map((_, i) =>
          h("tr", {}, h("th", { scope: "row" }, i ? String(i + 1) : "root"), h("td", {}, cell(i, "joint", `joint ${i + 1}, its name`)),
            ...["length", "least", "greatest"].map((key) =>
              h("td", {}, ...(i ? [cell(i, key, `joint ${i + 1}, ${key === "length" ? "length of the part ending in it, mm" : `${key} bend, degrees`}`)] : [])))),
        ),
      );
    parts.forEach((one, i) =>
      rows.children[i].querySelectorAll("input").forEach((input, k) => lay(input, one[["joint", "length", "least", "greatest"][k]])));
    fewer.disabled = parts.length <= 2;
  };
  const table = h("table", {},
    h("thead", {}, h("tr", {}, ...["", "joint", "mm up to it", "least bend, °", "greatest bend, °"].map((text) => h("th", { scope: "col" }, text)))), rows);
  const own = h("div", { class: "own", "data-field": "parts" },
    labelled("what it is called", own_name), table, row(more, fewer),
    h("small", {}, "From the root outward. Degrees counter-clockwise: of the first part against level, where 90 points up; of each other against the part that carries it. The root stays in its place."),
    fault_line("limb_name", own_name), fault_line("parts", table));

  // ---- rules ----
  const rules = h("div", { class: "rules" });
  const rule_of = (name) => values().rules?.[name] ?? {};
  const set_rule = (name, changes) => set({ rules: { ...values().rules, [name]: { ...rule_of(name), ...changes } } });
  const make_rule = ({ name, asks, why, advises, numbers }) => {
    const tick = h("input", { type: "checkbox" });
    on(tick, "change", () => set_rule(name, { on: tick.checked }));
    const how = h("select", { "aria-label": `how strict: ${name}` },
      ...STRICT.map((value) => h("option", { value }, value)), h("option", { value: "numbers" }, "by its numbers"));
    on(how, "change", () => {
      const at = (one) => (how.value === "numbers" ? rule_of(name).numbers?.[one.name] ?? one.usual : one[how.value]);
      set_rule(name, { how: how.value, numbers: Object.fromEntries(numbers.map((one) => [one.name, at(one)])) });
    });
    const weight = h("input", { type: "number", min: 0, max: 3, step: 0.5, "aria-label": `what it counts: ${name}` });
    bound(weight, () => rule_of(name).weight, (value) => set_rule(name, { weight: value }));
    const inputs = numbers.map((one) => {
      const input = h("input", { type: "number", min: 0, step: "any" });
      bound(input, () => rule_of(name).numbers?.[one.name], (value) => set_rule(name, { how: "numbers", numbers: { ...rule_of(name).numbers, [one.name]: value } }));
      return labelled(one.of, input, one.loose === one.usual && one.strict === one.usual ? `usual ${one.usual}` : `loose ${one.loose}, usual ${one.usual}, strict ${one.strict}`);
    });
    const says = why ? `${asks}: ${why}` : asks;
    const strict = advises ? [h("span", { class: "advises" }, "advice only: it fails nobody")] : [how, h("label", { class: "counts" }, "counts ", weight)];
    const line = h("div", { class: "rule", "data-field": `rule ${name}` },
      h("label", { class: "tick" }, tick, h("b", {}, name)), h("p", {}, `${says.charAt(0).toUpperCase()}${says.slice(1)}.`), h("div", { class: "strict" }, ...strict),
      h("details", {}, h("summary", {}, "its numbers"), ...inputs), fault_line(`rule ${name}`, tick));
    shows.push(() => {
      const { on: asked, how: now } = rule_of(name);
      tick.checked = Boolean(asked);
      lay(how, now);
      put(line, { "data-asked": asked ? "yes" : "no" });
    });
    return line;
  };
  rules.append(...model.get("choices").rules.map(make_rule));

  // ---- the foot ----
  const mend = h("input", { type: "checkbox" });
  on(mend, "change", () => set({ mend: mend.checked }));
  shows.push(() => {
    mend.checked = Boolean(values().mend);
  });
  const write = h("button", { type: "button", class: "write" }, "write the homework");
  on(write, "click", () => ask({ ask: "write" }));
  const says = h("div", { class: "says", role: "status" });
  const notes = h("div", { class: "notes" });
  const wrong = h("p", { class: "wrong" });
  const text = h("pre", { tabindex: 0, "aria-label": "the brief as it will be written" });
  const brief = h("details", { class: "brief" }, h("summary", {}, "the brief as it will be written"), text);

  const number_field = (key, words) => field(key, words, simple(key, "input", { type: "number", min: 1, step: 1 }));
  const root = h("section", { class: "anim-form", "aria-label": "set homework" },
    part("begin with", labelled("which one", begin, "One that is there is changed; one of the workbook is taken as a beginning for your own.")),
    part("what it is",
      field("title", "title", simple("title", "input", { type: "text" })),
      field("text", "text for the class", simple("text", "textarea", { rows: 3 }), "It stands in the notebook, and beside the drawings."),
      row(field("due", "due", simple("due", "input", { type: "date" }), "empty: no date"), field("time", "at", simple("time", "input", { type: "time" }), "empty: the end of the day"),
        field("name", "name of its files", simple("name", "input", { type: "text" }), "empty: by the title"))),
    part("what is drawn",
      field("limb", "limb", limb), own,
      row(number_field("least", "drawings, from"), number_field("most", "to"), select("exposure", "held", EXPOSURES), number_field("rate", "frames a second"))),
    part("what is looked for", rules, fault_line("rules"), select("elbow", "joints that open", ELBOWS)),
    part("what the light table helps with", field("guide", "where may it go: it shows", guide),
      h("label", { class: "tick" }, mend, "it may correct a drawing by itself, when the learner presses for it")),
    h("div", { class: "foot" }, row(write, wrong), says, notes, brief));

  const options = (input, all, value) => {
    if (changed(made_of, input, JSON.stringify(all)))
      input.replaceChildren(...all.map(([key, words]) => h("option", { value: key }, key === words || !words ? key : input === limb ? `${key}: ${words}` : words)));
    if (input.value !== value) input.value = value;
  };
  const paint = () => {
    const choices = model.get("choices");
    options(begin, choices.begin, model.get("begun"));
    options(limb, choices.limbs, values().limb);
    options(guide, choices.guides, values().guide);
    own.hidden = values().limb !== "one of your own";
    paint_parts();
    for (const show of shows) show();
  };
  const paint_answer = () => {
    const faults = model.get("faults");
    for (const [key, { inputs, fault }] of fields) {
      say(fault, faults[key] ?? "");
      fault.hidden = !faults[key];
      for (const input of inputs) put(input, { "aria-invalid": faults[key] ? "true" : null });
    }
    const many = Object.keys(faults).length;
    root.classList.toggle("untouched", model.get("revision") === 0 && !model.get("says").length);
    say(wrong, many ? `${many === 1 ? "One field" : `${many} fields`} cannot be taken yet.` : "");
    says.replaceChildren(...model.get("says").map((line) => h("p", {}, line)));
    notes.replaceChildren(...model.get("notes").map((line) => h("p", {}, line)));
    brief.hidden = !model.get("brief");
    say(text, model.get("brief"));
    put(root, { "data-judged": model.get("judged"), "data-wrong": many });
  };

  // The notebook listens for letters, and moves on with arrows.
  on(root, "keydown", (event) => event.stopPropagation());
  const watch = { "change:values": paint, "change:choices": paint, "change:begun": paint };
  for (const name of ["faults", "says", "notes", "brief", "judged"]) watch[`change:${name}`] = paint_answer;
  const leave = follow(model, watch);
  paint();
  paint_answer();
  el.append(root);
  return () => {
    leave();
    life.abort();
    root.remove();
  };
}

export default { render };

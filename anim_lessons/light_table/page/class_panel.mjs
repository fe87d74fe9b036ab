/* The panel in which a class is marked: fields, one button, the class as a table, and one learner's page with what is said of it.
 *
 * Reads    values (first values of the fields), choices ([[name, words]]), busy, progress ([what, done, of]), says, failed, links,
 *          rows, words ({states, rules}), nobodys, learners ([[id, name]]), chosen, page, class_page (HTML)
 * Sends    {ask: "mark" | "invent", what: {values}}, {ask: "choose", what: {who}}, {ask: "say", what: {who, drawn, rule, mark, comment}},
 *          {ask: "whose", what: {part, who}}; each with its revision
 *
 * Pages are shown in frames: what is in them was written for their own policy, and reaches nothing outside.
 */
import { capital, changed, follow, h, put, say } from "./tools.mjs";

const OWN = ["", "kept", "to mend"]; // what the instructor may say of a rule; empty: as measured

function render({ model, el }) {
  const life = new AbortController();
  const made_of = new WeakMap();
  let number = 0; // of the next id
  const id = () => `anim-class-${model.model_id ?? "x"}-${(number += 1)}`;
  const on = (node, type, act) => node.addEventListener(type, act, { signal: life.signal });
  let revision = model.get("answered"); // of the newest message
  const ask = (what, more) => {
    revision = Math.max(revision, model.get("answered")) + 1;
    model.send({ ask: what, what: more, revision });
  };

  // ---- what is marked ----
  const names = h("input", { type: "checkbox" });
  const fields = { names };
  const field = (key, words, input, hint = "") => {
    const told = hint ? [h("small", { id: id() }, hint)] : [];
    fields[key] = put_id(input, told[0]?.id);
    return h("div", { class: "field" }, h("label", { for: input.id }, words), input, ...told);
  };
  const put_id = (input, described) => {
    put(input, { id: id(), "aria-describedby": described ?? null });
    return input;
  };
  const text = () => h("input", { type: "text", spellcheck: "false" });
  const homework = h("select", {});
  const go = h("button", { type: "button", class: "go" }, "mark the class");
  const invent = h("button", { type: "button" }, "try it with an invented class");
  const bar = h("progress", { "aria-label": "how far it is" });
  const says = h("div", { class: "says", role: "status" });
  const to_class = h("a", { target: "_blank", rel: "noopener" }, "the page of the class in a tab of its own");
  const what = h("fieldset", {}, h("legend", {}, "what is marked"),
    h("div", { class: "row" },
      field("folder", "folder or zip with the hand-ins", text(), "as the learning platform gives it; from the folder of this notebook"),
      field("homework", "homework", homework)),
    h("div", { class: "row" },
      field("roster", "who is in the class", text(), "a table saved as CSV with id, name, due; empty: by the folders' names"),
      field("due", "due", h("input", { type: "date" }), "empty: no date"),
      field("to", "folder for the results", text())),
    h("label", { class: "tick" }, put_id(names), "no names on the pages"),
    h("div", { class: "row press" }, go, invent, bar), says, h("p", { class: "link" }, to_class));
  const filled = () => ({ ...Object.fromEntries(Object.entries(fields).map(([key, input]) => [key, input.value])), names: names.checked ? "no" : "yes" });
  on(go, "click", () => ask("mark", { values: filled() }));
  on(invent, "click", () => ask("invent", { values: filled() }));

  // ---- whose? ----
  const nobodys = h("ul", {});
  const whose = h("fieldset", { class: "whose" }, h("legend", {}, "whose?"), h("p", {}, "Nobody in the class is named by these, or several are. Your answer is kept."), nobodys);
  const nobody = ({ part, file, says: told }) => {
    const choice = h("select", { "aria-label": `whose is ${part}` }, h("option", { value: "" }, "nobody knows"),
      ...model.get("learners").map(([who, name]) => h("option", { value: who }, name === who ? who : `${name} (${who})`)));
    on(choice, "change", () => ask("whose", { part, who: choice.value }));
    return h("li", {}, h("span", {}, h("b", {}, part), h("small", {}, file === part ? told : `${file}: ${told}`)), choice);
  };

  // ---- the class ----
  const only = h("select", {});
  const body = h("tbody", {});
  const table = h("div", { class: "frame", tabindex: 0, role: "group", "aria-label": "the class; arrows go from one to the next" },
    h("table", {}, h("thead", {}, h("tr", {}, ...["who", "state", "holds", "begin with", "your word"].map((words) => h("th", { scope: "col" }, words)))), body));
  const shown = h("p", { class: "shown" });
  const whole = h("details", { class: "whole" }, h("summary", {}, "what to show again, and where the faults lie"));
  const the_class = h("fieldset", { class: "class" }, h("legend", {}, "the class"),
    h("div", { class: "row" }, h("div", { class: "field only" }, h("label", { for: put_id(only).id }, "look at"), only), shown), table, whole);
  on(only, "change", () => paint_rows());
  const wanted = (row) => {
    const [kind, name] = only.value.split(": ");
    return kind === "state" ? row.state === name : kind === "to mend" ? row.to_mend.includes(name) : kind !== "needs you" || row.needs_you;
  };
  const in_sight = () => model.get("rows").filter(wanted);
  const choose = (who) => ask("choose", { who });
  const step = (by) => {
    const rows = in_sight();
    const at = rows.findIndex((row) => row.who === model.get("chosen").who);
    const next = rows[at < 0 ? 0 : at + by];
    if (next) choose(next.who);
  };
  on(table, "keydown", (event) => {
    const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!by) return;
    event.preventDefault();
    step(by);
  });
  const line = (row) => {
    const name = h("button", { type: "button", class: "name" }, row.name);
    on(name, "click", () => choose(row.who));
    return h("tr", { "data-who": row.who, class: row.needs_you ? "needs" : null }, h("th", { scope: "row" }, name), h("td", { class: "state" }, row.state),
      h("td", { class: "number" }, row.holds), h("td", {}, row.says, ...row.notes.map((note) => h("small", {}, note))), h("td", {}, row.yours));
  };
  function paint_rows() {
    const rows = in_sight();
    if (changed(made_of, body, JSON.stringify(rows))) body.replaceChildren(...rows.map(line));
    const all = model.get("rows").length;
    say(shown, rows.length === all ? `${all} in the class` : `${rows.length} of ${all}`);
    for (const one of body.children) put(one, { "aria-current": one.dataset.who === model.get("chosen").who ? "true" : null });
    const now = body.querySelector("[aria-current]"); // kept in sight within its own frame, and the notebook stays where it is
    if (now && (now.offsetTop < table.scrollTop + 34 || now.offsetTop + now.offsetHeight > table.scrollTop + table.clientHeight)) table.scrollTop = now.offsetTop - 60;
  }
  const overview = h("iframe", { title: "the page of the class", sandbox: "allow-same-origin" }); // its policy runs no script
  whole.append(overview);
  on(overview, "load", () => {
    // A name leads to the learner here; whatever else stands in it leads nowhere but down its own page.
    for (const link of overview.contentDocument?.querySelectorAll("a") ?? []) {
      const place = decodeURIComponent(link.getAttribute("href"));
      link.addEventListener("click", (event) => {
        event.preventDefault();
        if (place.startsWith("#")) overview.contentDocument.getElementById(place.slice(1))?.scrollIntoView();
        const row = model.get("rows").find((one) => one.page === place);
        if (row) choose(row.who);
      });
    }
  });

  // ---- one of them ----
  const name = h("h3", {});
  const before = h("button", { type: "button" }, "‹ the one before");
  const after = h("button", { type: "button" }, "the next one ›");
  on(before, "click", () => step(-1));
  on(after, "click", () => step(1));
  const of = h("p", {});
  const frame = h("iframe", { title: "the page of this learner", sandbox: "allow-scripts" });
  const to_page = h("a", { target: "_blank", rel: "noopener" }, "this page in a tab of its own");
  const rules = h("tbody", {});
  const mark = put_id(text());
  const comment = put_id(h("textarea", { rows: 4 }));
  const earlier = h("div", { class: "earlier" });
  const tell = (rule, word, words) => ask("say", { who: model.get("chosen").who, drawn: model.get("chosen").drawn, rule, mark: word, comment: words });
  const keep_whole = () => tell("", mark.value, comment.value);
  on(mark, "change", keep_whole);
  on(comment, "change", keep_whole); // also when another learner is pressed: the field is left then
  const keep = h("button", { type: "button" }, "keep");
  const kept = h("span", { class: "kept", role: "status" });
  const one = h("fieldset", { class: "one" }, h("legend", {}, "one of them"),
    h("div", { class: "row head" }, name, before, after), of, frame, h("p", { class: "link" }, to_page),
    h("div", { class: "word" },
      h("table", {}, h("thead", {}, h("tr", {}, ...["looked for", "measured", "your word"].map((words) => h("th", { scope: "col" }, words)))), rules),
      h("div", { class: "own" }, h("label", { for: mark.id }, "your mark"), mark, h("label", { for: comment.id }, "your comment, which the learner reads"), comment,
        h("div", { class: "row" }, keep, kept), earlier)));
  const rule_line = ({ name: rule, measured, yours }) => {
    const choice = h("select", { "aria-label": `your word on ${rule}` }, ...OWN.map((word) => h("option", { value: word }, word || "as measured")));
    choice.value = yours;
    on(choice, "change", () => tell(rule, choice.value, ""));
    return h("tr", {}, h("th", { scope: "row" }, rule), h("td", {}, measured), h("td", {}, choice));
  };
  /** What was said before into its field; what is being typed there about the same learner stays. */
  const lay = (input, words) => {
    const { who, drawn } = model.get("chosen");
    const another = changed(made_of, input, JSON.stringify([who, drawn]));
    if (another || document.activeElement !== input) input.value = words;
  };
  function paint_one() {
    const chosen = model.get("chosen");
    one.hidden = !chosen.who;
    if (!chosen.who) return;
    say(name, chosen.name);
    say(of, [chosen.state, chosen.holds, ...chosen.notes].filter(Boolean).join("; "));
    if (changed(made_of, frame, model.get("page"))) frame.srcdoc = model.get("page");
    frame.hidden = !model.get("page");
    put(frame, { class: chosen.desk ? "desk" : "words" });
    if (changed(made_of, rules, JSON.stringify(chosen.rules))) rules.replaceChildren(...chosen.rules.map(rule_line));
    rules.parentElement.hidden = !chosen.rules.length;
    lay(mark, chosen.mark);
    lay(comment, chosen.comment);
    earlier.replaceChildren(...chosen.earlier.map((words) => h("p", {}, words)));
    say(kept, chosen.kept);
    const rows = in_sight();
    const at = rows.findIndex((row) => row.who === chosen.who);
    before.disabled = at <= 0;
    after.disabled = at === rows.length - 1;
    paint_links();
  }

  // ---- all of it ----
  function paint_links() {
    const links = model.get("links");
    for (const [link, place] of [[to_class, links.class], [to_page, links.page]]) {
      put(link, { href: place || null });
      link.parentElement.hidden = !place;
    }
  }
  function paint() {
    const [words, done, all] = model.get("progress");
    bar.hidden = !model.get("busy");
    if (words) put(bar, { max: all || 1, value: done, "aria-valuetext": `${words}: ${done} of ${all}` });
    else bar.removeAttribute("value");
    go.disabled = invent.disabled = model.get("busy");
    says.replaceChildren(...model.get("says").map((told) => h("p", {}, told)));
    says.classList.toggle("failed", model.get("failed"));
    the_class.hidden = !model.get("rows").length;
    whose.hidden = !model.get("nobodys").length;
    if (changed(made_of, nobodys, JSON.stringify([model.get("nobodys"), model.get("learners")]))) nobodys.replaceChildren(...model.get("nobodys").map(nobody));
    const { states = [], rules: of_rules = [] } = model.get("words");
    const options = ["everybody", "needs you", ...states.map((state) => `state: ${state}`), ...of_rules.map((rule) => `to mend: ${rule}`)];
    if (changed(made_of, only, options.join("\n"))) {
      const now = only.value;
      only.replaceChildren(...options.map((option) => h("option", { value: option }, capital(option))));
      only.value = options.includes(now) ? now : options[0];
    }
    if (changed(made_of, overview, model.get("class_page"))) overview.srcdoc = model.get("class_page");
    put(root, { "data-busy": model.get("busy") ? "yes" : "no", "data-chosen": model.get("chosen").who ?? null });
    paint_rows();
    paint_one();
    paint_links();
  }
  function fill() {
    const values = model.get("values");
    const choices = model.get("choices");
    if (changed(made_of, homework, JSON.stringify(choices))) homework.replaceChildren(...choices.map(([key, words]) => h("option", { value: key }, words)));
    for (const [key, input] of Object.entries(fields)) if (key !== "names") input.value = values[key] ?? "";
    names.checked = values.names === "no";
  }
  const root = h("section", { class: "anim-class", "aria-label": "mark a class" }, what, whose, the_class, one);
  on(root, "keydown", (event) => event.stopPropagation()); // the notebook listens for letters, and moves on with arrows
  const watch = { "change:values": fill, "change:choices": fill };
  for (const name_ of ["busy", "progress", "says", "failed", "links", "rows", "words", "nobodys", "learners", "chosen", "page", "class_page"]) watch[`change:${name_}`] = paint;
  const leave = follow(model, watch);
  fill();
  paint();
  el.append(root);
  return () => {
    leave();
    life.abort();
    root.remove();
  };
}

export default { render };

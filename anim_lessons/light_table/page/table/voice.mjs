/* The one voice, at the top of the margin: a head of one line, a few lines under it, one thing to do. */
import { button, on } from "../elements.mjs";
import { capital, changed, h, pool, put, say, say_in_short } from "../tools.mjs";
import { choose } from "./choosing.mjs";
import { findings, key_of, verdict } from "./questions.mjs";
import { said } from "./said.mjs";
import { told_words } from "./standing.mjs";

export function make_voice(t) {
  t.voice_small = h("p", { class: "small" });
  t.next_line = h("p", { class: "next" });
  t.voice_says = h("p", { class: "says" });
  t.unfold_b = button(t, "read on", () => {
    t.unfolded = !t.unfolded;
    t.repaint("voice");
  }, { class: "link" });
  t.act_b = button(t, "", () => t.act?.does(), { class: "primary" });
  t.act_b.append(h("span"), h("kbd", { "aria-hidden": true }));
  t.seconds_box = h("div", { class: "seconds" });
  t.second_b = pool(t.seconds_box, (i) => with_key(button(t, "", () => t.seconds[i]?.does())));
  t.facts = h("dl");
  t.others_box = h("div", { class: "seconds" });
  t.other_b = pool(t.others_box, (i) => with_key(button(t, "", () => t.others[i]?.does())));
  t.other_words = h("summary");
  t.other_fold = h("details", { class: "other" }, t.other_words, t.facts, t.others_box);
  t.shut_list = h("ul");
  t.shut_words = h("summary");
  t.shut_box = h("details", { class: "shut-list" }, t.shut_words, t.shut_list);
  t.voice_rest = h("p", { class: "rest" });
  t.lesson_small = h("p", { class: "small" });
  t.lesson_says = h("p", { class: "says" });
  t.lesson_box = h("div", { class: "lesson" }, t.lesson_small, t.lesson_says);
  t.told = h("p", { class: "told", role: "status" }); // what there is to say of the file, in a whole sentence
  t.voice_words = h("div", { role: "status" }, t.voice_small, t.next_line, t.voice_says);
  t.voice_body = h(
    "div",
    { class: "body-of-it" },
    t.voice_words,
    t.unfold_b,
    t.act_b,
    t.seconds_box,
    t.voice_rest,
    t.other_fold,
    t.shut_box,
  );
  t.notes = h("ol", { class: "notes", "aria-label": "all that was found, cause first" });
  t.notes.hidden = true;
  t.voice = h(
    "section",
    { class: "voice", "aria-label": "what to do next" },
    t.voice_body,
    t.lesson_box,
    t.told,
    t.notes,
  );
  on(t, t.other_fold, "toggle", () => {
    t.notes.hidden = !t.other_fold.open || !findings(t).length;
  });
}

function with_key(b) {
  b.append(h("span"), h("kbd", { "aria-hidden": true }));
  return b;
}

function label(b, { label: words, key }) {
  say(b.children[0], words);
  say(b.children[1], key);
  b.children[1].hidden = !key;
  put(b, { "aria-keyshortcuts": key || null });
}

export function paint_voice(t) {
  const now = said(t);
  [t.act, t.seconds, t.others] = [now.act, now.seconds, now.others];
  const one = JSON.stringify([now.kind, now.head, now.says, now.small]);
  if (changed(t.made_of, t.voice_says, one)) {
    t.unfolded = false;
    put(t.other_fold, { open: null });
  }
  put(t.voice, { "data-kind": now.kind });
  put(t.voice_words, { "aria-live": t.drag ? "off" : "polite" });
  for (const [line, words] of [
    [t.voice_small, now.small],
    [t.next_line, now.head],
    [t.voice_says, now.says],
    [t.voice_rest, now.rest],
  ]) {
    say_in_short(line, words);
    line.hidden = !words;
  }
  if (now.head) put(t.next_line, { title: now.head.length > 26 ? now.head : null });
  t.act_b.hidden = !now.act;
  if (now.act) label(t.act_b, now.act);
  t.second_b(now.seconds.length).forEach((b, i) => label(b, now.seconds[i]));
  t.other_b(now.others.length).forEach((b, i) => label(b, now.others[i]));
  t.seconds_box.hidden = !now.seconds.length;
  const folded = now.why.length + now.others.length;
  t.other_fold.hidden = !folded;
  say(t.other_words, now.others.length ? "why, and other ways" : "worth knowing");
  if (changed(t.made_of, t.facts, JSON.stringify(now.why)))
    t.facts.replaceChildren(
      ...now.why.map(([dt, dd]) => h("div", {}, h("dt", {}, dt), say_in_short(h("dd"), dd))),
    );
  const shut = now.shut ?? [];
  t.shut_box.hidden = !shut.length;
  say(t.shut_words, "why not elsewhere");
  if (changed(t.made_of, t.shut_list, shut.join("|")))
    t.shut_list.replaceChildren(...shut.map((text) => say_in_short(h("li"), text)));
  t.lesson_box.hidden = !now.lesson;
  say_in_short(t.lesson_small, now.lesson?.small ?? "");
  t.lesson_small.hidden = !now.lesson?.small;
  say_in_short(t.lesson_says, now.lesson?.says ?? "");
  t.voice_body.hidden = !(now.head || now.says || now.small || now.act);
  say(t.told, told_words(t));
  build_notes(t);
  t.notes.hidden = !(now.others.length && t.other_fold.open);
  fold_long(t);
}

/** More than four lines are folded until somebody reads on. */
function fold_long(t) {
  put(t.voice_says, { class: t.unfolded ? "says whole" : "says" });
  if (t.drag) return;
  const long = !t.unfolded && t.voice_says.scrollHeight > t.voice_says.clientHeight + 2;
  t.unfold_b.hidden = !long && !t.unfolded;
  say(t.unfold_b, t.unfolded ? "read less" : "read on");
}

/** All that was found, once for each verdict: in the document whatever is said of it. */
function build_notes(t) {
  if (t.built === verdict(t)) return;
  const focused = t.notes.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  t.built = verdict(t);
  t.notes.replaceChildren();
  findings(t).forEach((f, i) => {
    if (f.follows !== null) return;
    const title = button(t, "", () => choose(t, f), { class: "notehead", "data-key": key_of(f) });
    say_in_short(title, f.head, 100);
    const rest = findings(t)
      .filter((g) => g.follows === i)
      .map((g) =>
        h(
          "li",
          { "data-rule": g.rule, "data-drawings": g.drawings.join(" ") },
          h("b", {}, g.drawings.join(", ")),
          " ",
          say_in_short(h("span"), g.short ?? g.says),
        ),
      );
    const note = h(
      "li",
      { class: "note", "data-rule": f.rule, "data-drawings": f.drawings.join(" ") },
      title,
      say_in_short(h("p"), f.text ?? f.says),
      h("ul", {}, ...rest),
    );
    t.notes.append(note);
    if (focused === key_of(f)) title.focus({ preventScroll: true });
  });
  const rules = Object.entries(t.built.rules ?? {});
  for (const text of t.built.unmet ?? []) t.notes.append(say_in_short(h("li", { class: "aside unmet" }), capital(text)));
  const seen = rules.filter(([, r]) => r.judged).map(([name]) => name);
  if (seen.length) t.notes.append(h("li", { class: "aside judged" }, `Checked: ${seen.join(", ")}.`));
  for (const [name, r] of rules.filter(([, r]) => !r.judged))
    t.notes.append(say_in_short(h("li", { class: "aside" }), `${capital(name)}: ${(r.says || "nothing to judge here").replace(/\.$/, "")}.`));
}

/* What is told of a finding, whoever tells it: its cause, in the parts that the voice has for it. */
import { lesson_of } from "../drawings.mjs";
import { named } from "../tools.mjs";
import { go } from "./changes.mjs";
import { choose } from "./choosing.mjs";
import { findings, number } from "./questions.mjs";

/** The cause of a finding; the drawing it is about if another one is on the table, else null; and its words. */
export function finding_words(t, f) {
  const cause = f.follows === null ? f : findings(t)[f.follows];
  const many = findings(t).filter((one) => one.follows !== null && findings(t)[one.follows] === cause).length;
  const n = cause.ghost?.drawing ?? cause.drawings[0];
  const words = {
    kind: "finding",
    small: t.head.limbs.length > 1 && cause.limb ? named(cause.limb) : "",
    head: cause.called ?? cause.head,
    says: (cause.do ?? cause.text) || cause.amount || "",
    why: [
      ["why", cause.amount],
      ["measured", cause.shows],
      ["looked for", cause.looked_for],
      ["its lesson", lesson_of(cause)],
    ].filter(([, what]) => what),
    rest: many ? `${many} more follow${many === 1 ? "s" : ""} from it.` : "",
  };
  return { cause, away: n !== undefined && n !== number(t) ? n : null, words };
}

export function go_to(t, cause, n) {
  choose(t, cause);
  go(t, n);
}

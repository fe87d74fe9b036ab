/* One message to Python, by the protocol of Python's revisions.py. */

export const SILENCE = 6000; // ms without an answer after which nobody seems to be there

/** Ask for something; `unheard` is called where nobody answers, or nobody could be asked. */
export function ask(t, what, more, unheard) {
  t.revision = Math.max(t.revision, t.model.get("answered")) + 1;
  clearTimeout(t.timer);
  t.timer = setTimeout(unheard, SILENCE);
  try {
    t.model.send({ ask: what, what: more, revision: t.revision });
  } catch {
    unheard();
  }
}

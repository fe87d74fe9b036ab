/* Keys, and what to take care of. */
import { h } from "../tools.mjs";

export function make_care(t) {
  t.care = h("div", { class: "care" });
  t.care.hidden = true;
  for (const text of [
    "Keys, with the table in focus: Page Up and Page Down turn the drawings, Home and End go to the first and the last. T traces the previous drawing. Hold F to flip, R rolls, P plays and stops, 1 and 2 expose on ones and twos. Control Z takes back, Control Y makes again. M starts in the middle, so that the link-up is seen, S turns the sheet over sideways, O onion skin, A paths, L lengths, U the under-drawing where there is one, G makes all larger, for a lecture.",
    "W shows where the chosen joint may go: on the heavy part of its circle every rule is kept, on the struck parts stands what shuts them. The dashed line is the drawing before, shifted and traced; the arrow is the path of what the joint hangs on, heavier where it is faster; the open dot is where slow in and slow out want the joint. E puts it there, N at the nearest open place. With Q the circle of each drawing waits until you have placed the joint by eye.",
    "J goes through the joints to work on, one through the whole stack and then the next one out: on every drawing you turn to, that joint is chosen. H asks for the open note to be corrected, with Shift for all notes; each step is a ghost: Enter takes it, X leaves it, Escape leaves the rest.",
    "On a joint, the arrow keys swing it by 1° (up and right counter-clockwise), or move it by 1 mm where nothing holds it; with Shift by 0.2, with Alt by 5. Escape lets it go. In the exposure sheet, up and down turn the drawings.",
    "Playing changes up to 24 pictures a second. If flicker troubles you, turn the pages by hand; if you have ever had a seizure or have been told that flashing light may bring one on, ask a doctor before you play.",
    "Long drawing tires hand and eyes: lay the pen down every twenty minutes or so, look far off, loosen shoulder and wrist. If it hurts or tingles, stop; if it comes back, see a doctor or a physiotherapist.",
  ])
    t.care.append(h("p", {}, text));
}

/* The pencil drawing from paper: where there is one, it is the picture of its drawing. */
import { put, s } from "../tools.mjs";
import { number, to_sheet } from "./questions.mjs";

/** It lies right below the limbs. */
function image_of(t) {
  const there = t.sheet.querySelector(":scope > .pencil");
  if (!there) t.arms.before(s("image", { class: "pencil", preserveAspectRatio: "none", "aria-hidden": true }));
  return there ?? image_of(t);
}

/** Lay the pencil of a drawing on the sheet; the figure that would be built on the joints goes away for it. */
export function paint_pencil(t, n = t.showing ?? number(t)) {
  const one = (t.model.get("pencil") ?? {})[n];
  const image = image_of(t);
  put(t.root, { "data-pencil": one ? n : null });
  if (!one) return put(image, { href: null });
  const [left, bottom, wide, high] = one.box;
  const [a, b] = [to_sheet(t, [left, bottom + high]), to_sheet(t, [left + wide, bottom])];
  const back = b[0] < a[0]; // the sheet is seen from its back
  put(image, {
    href: one.url,
    x: back ? -a[0] : a[0],
    y: a[1],
    width: Math.abs(b[0] - a[0]),
    height: b[1] - a[1],
    transform: back ? "scale(-1,1)" : null,
  });
}

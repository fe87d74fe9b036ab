/* One action on a page that stands alone: a light table on which nothing changes, and the steps of a lecture.
 *
 * The page holds #given, JSON as given/model.mjs reads it; #still, picture and words for where no script runs; and #desk.
 * Modules of table/ have a stand-in of their name in given/, which is joined in their place.
 */
import { make_steps } from "./given/steps.mjs";
import { new_model } from "./given/model.mjs";
import light_table from "./light_table.mjs";

function render({ model, el }) {
  const life = new AbortController();
  if (model.get("steps").length) el.append(make_steps(model, life));
  const leave = light_table.render({ model, el });
  el.querySelector(".anim-light-table").focus({ preventScroll: true }); // its keys are heard
  return () => {
    life.abort();
    leave();
  };
}

/** Begin: what was written into the page is read, and takes the place of the still picture. */
export function begin(page) {
  const model = new_model(JSON.parse(page.getElementById("given").textContent));
  render({ model, el: page.getElementById("desk") });
  page.getElementById("still").hidden = true;
}

export default { render };

/* In the place of table/exposure_sheet.mjs: the sheet in full, whose exposures stay as they are. */
import { make_full_sheet as make, paint_full_sheet } from "../table/exposure_sheet.mjs";

export { paint_full_sheet };
export function make_full_sheet(t) {
  make(t);
  for (const one of [t.fewer_b, t.longer_b]) one.remove();
}

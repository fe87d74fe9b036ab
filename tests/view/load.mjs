/* .js outside a package is CommonJS to node: load the view's text as a module. */
import { readFile } from "node:fs/promises";

const text = await readFile(new URL("../../anim_lessons/light_table/light_table.js", import.meta.url), "utf8");
export const view = await import("data:text/javascript," + encodeURIComponent(text));

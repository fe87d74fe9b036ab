/* In the place of table/mending.mjs: the ghost of a correction is seen, and no step of it is taken. */
import { ghost_here } from "../table/mending.mjs";

export { ghost_here };
export const step_now = () => null;
export const step = () => {};
export const end_mending = () => {};
export const take_up_steps = () => {};
export const paint_step = () => {};

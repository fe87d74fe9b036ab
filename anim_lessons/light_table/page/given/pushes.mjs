/* In the place of table/pushes.mjs: no joint is moved. */
export const make_nudge = () => {};
export const paint_nudge = () => {};
export const push_joint = () => {};

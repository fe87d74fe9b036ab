/* In the place of table/beside.mjs: nothing stands beside the table on a page that is given away. */
export const take_beside = () => {};
export const paint_beside = () => {};
export const leave_beside = () => {};

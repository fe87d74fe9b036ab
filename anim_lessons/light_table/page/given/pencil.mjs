/* No drawing from paper is given away. */
export const paint_pencil = () => {};

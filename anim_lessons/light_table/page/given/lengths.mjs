/* In the place of table/lengths.mjs: nobody measures here. */
export const lengths_said = () => [];

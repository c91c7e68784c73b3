/** The version by which this app calls itself to the office. */
export const APP = "2026.12.0";

/** Which board of a sheet has its pad open: one at a time, so that a figure is never written twice. */
export const pads = $state({ open: "" });

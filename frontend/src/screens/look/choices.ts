/** What a person can say of a look by a tap: codes with their words in the catalogue. */

/** What is seen on a plant, with words under `symptom.` */
export const SYMPTOMS = [
  ...(["insects", "spots", "yellow", "wilting", "stem_rot", "root_rot"] as const),
  ...(["eaten", "curled", "sticky", "webs", "mould", "burnt_edge"] as const),
] as const;

/** Where on the plant, with words under `part.` */
export const PARTS = [
  ...(["bud", "young_leaf", "leaf", "leaf_underside", "stem"] as const),
  ...(["graft_union", "collar", "root", "medium", "whole_plant"] as const),
] as const;

/** What a picture of a find shows; each can be left out. */
export const SHOTS = ["underside", "whole_plant"] as const;

/** Why a tray was not looked over, with words under `unlooked.` */
export const UNLOOKED = ["no_time", "dark", "wet", "re_entry", "shut", "other"] as const;

/** Why a trap could not be read, with words under `unreadable.` */
export const UNREADABLE = ["wet", "full", "dusty", "fallen", "gone", "other"] as const;

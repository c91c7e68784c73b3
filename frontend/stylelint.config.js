/** Roles, not hues; states as data; no depth. Colours and lengths are named in tokens.css alone. */
export default {
  extends: ["stylelint-config-standard", "stylelint-config-html/svelte"],
  rules: {
    "color-no-hex": true,
    "color-named": "never",
    "declaration-no-important": true,
    "selector-max-id": 0,
    "selector-max-specificity": "0,2,1",
    "declaration-property-unit-disallowed-list": {
      "/^(margin|padding|gap|row-gap|column-gap)/": ["px"],
    },
    "selector-pseudo-class-no-unknown": [true, { ignorePseudoClasses: ["global"] }],
  },
  overrides: [
    {
      files: ["**/tokens.css"],
      // The one place where a role gets its colour; reduced motion must win over every rule.
      rules: { "color-no-hex": null, "declaration-no-important": null },
    },
  ],
};

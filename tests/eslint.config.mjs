// What the scripts must keep, in shell/ and here: rules that find faults; how a line is laid out is no business of theirs.
// Names that do not exist are found by the types in shell/ (tests/types), and by no-undef in the rest.
import js from "@eslint/js";
import globals from "globals";

const kFaults = {
  "array-callback-return": "error",
  "consistent-return": "error",
  "default-case-last": "error",
  eqeqeq: "error",
  "no-constructor-return": "error",
  "no-implicit-coercion": "error",
  "no-implicit-globals": "error",
  "no-lonely-if": "error",
  "no-new-wrappers": "error",
  "no-self-compare": "error",
  "no-throw-literal": "error",
  "no-unreachable-loop": "error",
  "no-unused-expressions": "error",
  "no-unused-vars": ["error", { argsIgnorePattern: "^_", varsIgnorePattern: "^_$" }],
  "no-use-before-define": ["error", { functions: false, classes: false, variables: false }],
  "no-useless-assignment": "error",
  "no-var": "error",
  "object-shorthand": "error",
  "prefer-const": "error",
  "prefer-promise-reject-errors": "error",
  radix: "error",
};
const kScripts = ["shell/service_worker.js", "shell/file_worker.js", "shell/capture_worklet.js", "shell/tapes_worker.js"]; // loaded by their names
const kInThePage = { axe: "readonly", fed: "readonly", handles: "readonly" }; // what the tests put there

export default [
  { ignores: ["**/node_modules/", "build/", "shell/types.d.ts"] },
  js.configs.recommended,
  { linterOptions: { reportUnusedDisableDirectives: "error" }, rules: kFaults },
  { files: ["shell/**"], rules: { "no-undef": "off" } },
  { files: kScripts, languageOptions: { sourceType: "script" }, rules: { "no-implicit-globals": "off" } },
  { files: ["tests/**", "web/**", "assets/**"], languageOptions: { globals: { ...globals.node, ...globals.browser, ...kInThePage } } },
];

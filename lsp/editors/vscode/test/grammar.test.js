// The grammar, run by the same engine as in the editor.
const assert = require("node:assert/strict");
const { readFileSync } = require("node:fs");
const path = require("node:path");
const { test } = require("node:test");
const oniguruma = require("vscode-oniguruma");
const { INITIAL, Registry, parseRawGrammar } = require("vscode-textmate");

const grammarFile = path.join(__dirname, "../syntaxes/haulm.tmLanguage.json");

const grammar = (async () => {
  await oniguruma.loadWASM(readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm")));
  const registry = new Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => parseRawGrammar(readFileSync(grammarFile, "utf8"), grammarFile),
  });
  return registry.loadGrammar("source.haulm");
})();

// colored lists the parts of a text that have a color, each with the innermost scope.
async function colored(text) {
  const found = [];
  let state = INITIAL;
  for (const line of text.split("\n")) {
    const { tokens, ruleStack } = (await grammar).tokenizeLine(line, state);
    for (const { startIndex, endIndex, scopes } of tokens) {
      const scope = scopes.at(-1).replace(/\.haulm$/, "");
      if (scope !== "source") found.push([line.slice(startIndex, endIndex), scope]);
    }
    state = ruleStack;
  }
  return found;
}

const cases = [
  [
    'row(yard, at = 4 * ft, name = "🌽é")',
    [
      ["row", "entity.name.function.call"],
      ["at", "variable.parameter"],
      ["=", "keyword.operator"],
      ["4", "constant.numeric"],
      ["*", "keyword.operator"],
      ["name", "variable.parameter"],
      ["=", "keyword.operator"],
      ['"', "string.quoted.double"],
      ["🌽é", "string.quoted.double"],
      ['"', "string.quoted.double"],
    ],
  ],
  ["    fill = True,", [["fill", "variable.parameter"], ["=", "keyword.operator"], ["True", "constant.language"]]],
  ["may = 2 == 3", [["=", "keyword.operator"], ["2", "constant.numeric"], ["==", "keyword.operator"], ["3", "constant.numeric"]]],
  ["def beds(n):", [["def", "keyword.control"], ["beds", "entity.name.function"]]],
  ["for at in rows:", [["for", "keyword.control"], ["in", "keyword.control"]]],
  [
    "# accept: rows-too-close — the cart goes round",
    [
      ["#", "punctuation.definition.comment"],
      [" ", "comment.line.number-sign"],
      ["accept", "keyword.other.accept"],
      [": ", "comment.line.number-sign"],
      ["rows-too-close", "constant.other.code"],
      [" — the cart goes round", "comment.line.number-sign"],
    ],
  ],
  ['"""a # b\nc"""', [['"""', "string.quoted.triple"], ["a # b", "string.quoted.triple"], ["c", "string.quoted.triple"], ['"""', "string.quoted.triple"]]],
  ['"ends with its line\n2', [['"', "string.quoted.double"], ["ends with its line", "string.quoted.double"], ["2", "constant.numeric"]]],
  ['"\\""', [['"', "string.quoted.double"], ['\\"', "constant.character.escape"], ['"', "string.quoted.double"]]],
  ["bed2 = 15.5e1", [["=", "keyword.operator"], ["15.5e1", "constant.numeric"]]],
];

for (const [text, expected] of cases) {
  test(JSON.stringify(text), async () => assert.deepEqual(await colored(text), expected));
}

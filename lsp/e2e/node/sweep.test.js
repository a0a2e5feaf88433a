// Everything asked everywhere: at each place of the farm, whole and broken, every answer must keep to the protocol.
import assert from "node:assert/strict";
import { test } from "node:test";
import { find, withFarm } from "./farm.js";

const options = { tabSize: 4, insertSpaces: true };

// What can be asked about a place.
const questions = (textDocument, position, until) => [
  ["textDocument/completion", { textDocument, position }],
  ["textDocument/hover", { textDocument, position }],
  ["textDocument/signatureHelp", { textDocument, position }],
  ["textDocument/definition", { textDocument, position }],
  ["textDocument/declaration", { textDocument, position }],
  ["textDocument/typeDefinition", { textDocument, position }],
  ["textDocument/references", { textDocument, position, context: { includeDeclaration: true } }],
  ["textDocument/documentHighlight", { textDocument, position }],
  ["textDocument/prepareRename", { textDocument, position }],
  ["textDocument/rename", { textDocument, position, newName: "new_name" }],
  ["textDocument/linkedEditingRange", { textDocument, position }],
  ["textDocument/prepareCallHierarchy", { textDocument, position }],
  ["textDocument/selectionRange", { textDocument, positions: [position] }],
  ["textDocument/onTypeFormatting", { textDocument, position, ch: ")", options }],
  ["textDocument/codeAction", { textDocument, range: { start: position, end: until }, context: { diagnostics: [] } }],
  ["textDocument/inlayHint", { textDocument, range: { start: position, end: until } }],
  ["textDocument/semanticTokens/range", { textDocument, range: { start: position, end: until } }],
  ["textDocument/rangeFormatting", { textDocument, range: { start: position, end: until }, options }],
];

// What can be asked about a text.
const ofAll = [
  "textDocument/documentSymbol",
  "textDocument/codeLens",
  "textDocument/documentLink",
  "textDocument/foldingRange",
  "textDocument/semanticTokens/full",
];

// An answer may be a refusal, of these kinds: the request made no sense there, or the text has changed.
const refusals = new Set([-32803, -32801]);

const wholeOf = (document) => ({ start: { line: 0, character: 0 }, end: document.positionAt(document.getText().length) });

async function askEverything(client, document, step) {
  const textDocument = { uri: document.uri };
  const ask = (method, params) =>
    client.ask(method, params).catch((error) => {
      assert.ok(refusals.has(error.code), `${method} ${JSON.stringify(params)}: ${error.code} ${error.message}`);
    });
  for (const hint of (await ask("textDocument/inlayHint", { textDocument, range: wholeOf(document) })) ?? []) {
    await ask("inlayHint/resolve", hint);
  }
  for (const name of ofAll) await ask(name, { textDocument });
  await ask("textDocument/formatting", { textDocument, options });
  const text = document.getText();
  for (let offset = 0; offset <= text.length; offset += step) {
    if (/[\uDC00-\uDFFF]/.test(text[offset] ?? "")) continue; // no editor stands in the middle of a character
    const until = document.positionAt(Math.min(offset + 40, text.length));
    await Promise.all(questions(textDocument, document.positionAt(offset), until).map(([m, p]) => ask(m, p)));
  }
}

test("everywhere in the farm", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    await client.diagnostics(farm, (list) => list.length === 3);
    await askEverything(client, farm, 3);
  }));

test("everywhere in a file with CRLF", () =>
  withFarm(async (client, path) => {
    const bench = await client.open(path("fields/bench.star"));
    await client.diagnostics(bench, (list) => list.length === 1);
    await askEverything(client, bench, 3);
  }));

const breaks = [
  ["a bracket that stays open", 'name = "🌽 et blé"«)»', ""],
  ["a text that stays open", 'name = "🌽🌽é«"»', ""],
  ["a paragraph that stays open", '«"""»Ferry', '"""""" """'],
  ["a word too many", "«may» = here", "🌽 may ("],
];

for (const [what, where, by] of breaks) {
  test(`everywhere in a farm with ${what}`, () =>
    withFarm(async (client, path) => {
      const farm = await client.open(path("farm.star"));
      await client.diagnostics(farm, (list) => list.length === 3);
      client.edit(farm, [{ range: find(farm, where), newText: by }]);
      await askEverything(client, farm, 7);
    }));
}

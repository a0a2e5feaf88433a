// What helps to find one's way in a plan: where things are, how they hang together, their colors.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { find, span, withFarm } from "./farm.js";

async function opened(client, path) {
  const farm = await client.open(path("farm.star"));
  await client.diagnostics(farm, (list) => list.length === 3);
  return farm;
}

const about = (document) => ({ textDocument: { uri: document.uri } });

// places writes locations short, with the last part of their files' names.
const places = (list) => list.map((l) => `${l.uri.split("/").pop()} ${span(l.range)}`).sort();

test("where a name is defined and used, also in other files", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const at = { ...about(farm), position: find(farm, "sow(row(«bench»").start };
    assert.deepEqual(places(await client.ask("textDocument/definition", at)), ["bench.star 4:0-4:5"]);
    assert.deepEqual(places(await client.ask("textDocument/typeDefinition", at)), ["bench.star 4:8-4:81"]);
    const uses = await client.ask("textDocument/references", { ...at, context: { includeDeclaration: false } });
    const all = await client.ask("textDocument/references", { ...at, context: { includeDeclaration: true } });
    assert.deepEqual(places(all), ["bench.star 4:0-4:5", "bench.star 5:11-5:16", "farm.star 15:8-15:13", "farm.star 3:29-3:34"]);
    assert.ok(uses.length < all.length);
    const marked = await client.ask("textDocument/documentHighlight", { ...about(farm), position: find(farm, "plant(«first»").start });
    assert.deepEqual(marked.map((h) => [span(h.range), h.kind]), [["9:0-9:5", 3], ["11:6-11:11", 2]]);
  }));

test("symbols of a file go from farm to plot to row to planting, with counts", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const outline = (list) => list.map((s) => [s.name, ...(s.children ? outline(s.children) : [])]);
    const symbols = await client.ask("textDocument/documentSymbol", about(farm));
    assert.deepEqual(outline(symbols), [
      [
        "Ferry Bank 🌽",
        ["Cour d'été 🌽", ["🌽é", ["tomato"]], ["🌽 et blé", ["tomato"]], ["🌽🌽é"]],
        ["row 1 of Lower bench", ["beet"]],
      ],
    ]);
    const row = symbols[0].children[0].children[1];
    assert.match(row.detail, /^26 plants/);
    assert.equal(span(row.selectionRange), "13:6-13:9");
    const found = await client.ask("workspace/symbol", { query: "hangar" });
    const shed = found.find((s) => s.name === "près du hangar 🌽");
    assert.equal(shed.location.uri, pathToFileURL(path("fields/bench.star")).href);
  }));

test("a plot's totals stand over it", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const lenses = await client.ask("textDocument/codeLens", about(farm));
    assert.deepEqual(lenses.map((l) => l.range.start.line), [8]);
    assert.match(lenses[0].command.title, /3 rows, 46 plants/);
  }));

const lastYear = `load("crops", "tomato")
farm("Ferry Bank 🌽", year = 2026)
yard = plot("Cour d'été 🌽", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
x = "🌽é"; plant(row(yard, at = 4 * ft, name = x), tomato, count = 18, spacing = 24 * inch, on = "2026-05-02")
`;

test("what stood there last year, and the way there", () =>
  withFarm(async (client, path) => {
    mkdirSync(path("2026"));
    await writeFile(path("2026/farm.star"), lastYear);
    const farm = await opened(client, path);
    const end = farm.positionAt(farm.getText().length);
    await client.requests("workspace/codeLens/refresh", () =>
      client.edit(farm, [{ range: { start: end, end }, newText: 'previous("2026")\n' }]),
    );
    const position = find(farm, "«plant»(first").start;
    const found = await client.ask("textDocument/declaration", { ...about(farm), position });
    assert.deepEqual(
      found.map((l) => [l.uri, span(l.range)]),
      [[pathToFileURL(path("2026/farm.star")).href, `3:11-3:${lastYear.split("\n")[3].length}`]],
    );
    for (;;) {
      const lenses = await client.ask("textDocument/codeLens", about(farm));
      if (lenses.some((l) => l.range.start.line === 8 && l.command.title.startsWith("since last year: "))) break;
    }
    const { contents } = await client.ask("textDocument/hover", { ...about(farm), position });
    assert.match(contents.value, /Last year: tomato, 18 plants at 24 in, planted May 2, on 90 % of this ground; now 20 plants, planted May 8\./);
  }));

test("loads are links", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const links = await client.ask("textDocument/documentLink", about(farm));
    assert.deepEqual(
      links.map((l) => [span(l.range), l.target]),
      [["3:6-3:25", pathToFileURL(path("fields/bench.star")).href]],
    );
  }));

test("folds and selections", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const folds = await client.ask("textDocument/foldingRange", about(farm));
    assert.ok(folds.some((f) => f.startLine === 2 && f.endLine === 3 && f.kind === "imports"));
    const position = find(farm, '"🌽 et blé"), «tomato»').start;
    const [selection] = await client.ask("textDocument/selectionRange", { ...about(farm), positions: [position] });
    const steps = [];
    for (let s = selection; s; s = s.parent) steps.push(s.range);
    assert.equal(span(steps[0]), "13:50-13:56");
    assert.ok(steps.some((range) => span(range) === "13:0-13:100"));
    for (let i = 1; i < steps.length; i++) {
      assert.ok(farm.offsetAt(steps[i].start) <= farm.offsetAt(steps[i - 1].start));
      assert.ok(farm.offsetAt(steps[i].end) >= farm.offsetAt(steps[i - 1].end));
    }
  }));

// decode gives each token as its text with its type.
function decode(document, legend, data) {
  assert.equal(data.length % 5, 0);
  const tokens = [];
  let line = 0;
  let character = 0;
  for (let i = 0; i < data.length; i += 5) {
    character = data[i] === 0 ? character + data[i + 1] : data[i + 1];
    line += data[i];
    const start = document.offsetAt({ line, character });
    tokens.push([document.getText().slice(start, start + data[i + 2]), legend.tokenTypes[data[i + 3]]]);
  }
  return tokens;
}

test("semantic tokens name what each word is, behind wide characters too", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const { legend } = client.answer.capabilities.semanticTokensProvider;
    const full = await client.ask("textDocument/semanticTokens/full", about(farm));
    const tokens = decode(farm, legend, full.data);
    const first = tokens.findIndex(([text]) => text === '"🌽🌽é"');
    assert.deepEqual(tokens.slice(first, first + 4), [['"🌽🌽é"', "string"], ["at", "parameter"], ["=", "operator"], ["12", "number"]]);
    assert.ok(tokens.some(([text, type]) => text === "# 🌽 two could be added" && type === "comment"));

    const range = { start: { line: 14, character: 0 }, end: { line: 15, character: 0 } };
    const some = await client.ask("textDocument/semanticTokens/range", { ...about(farm), range });
    const part = decode(farm, legend, some.data);
    assert.ok(part.length > 0 && part.length < tokens.length);
    assert.ok(part.every(([text, type]) => tokens.some((t) => t[0] === text && t[1] === type)));

    client.edit(farm, [{ range: find(farm, 'name = "«🌽🌽»é"'), newText: "ble" }]);
    await client.diagnostics(farm);
    const delta = await client.ask("textDocument/semanticTokens/full/delta", { ...about(farm), previousResultId: full.resultId });
    assert.ok(delta.edits, "the edits since");
    const data = [...full.data];
    for (const edit of delta.edits.toSorted((a, b) => b.start - a.start)) {
      data.splice(edit.start, edit.deleteCount, ...(edit.data ?? []));
    }
    assert.deepEqual(data, (await client.ask("textDocument/semanticTokens/full", about(farm))).data);
  }));

const water = `
spring = water_source("spring 🌽", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.34 * gpm / (100 * ft), at = 8 * psi)
roots = zone("é🌽 roots", source = spring, tape = tape)
sow(row(yard, at = 16 * ft, name = "last 🌽", zone = roots), beet, count = 10, spacing = 3 * inch, on = "2027-04-12")
`;

test("the way of the water is a call hierarchy", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const end = farm.positionAt(farm.getText().length);
    client.edit(farm, [{ range: { start: end, end }, newText: water }]);
    await client.diagnostics(farm);
    const position = find(farm, "«roots» = zone").start;
    const [zone] = await client.ask("textDocument/prepareCallHierarchy", { ...about(farm), position });
    assert.match(zone.name, /é🌽 roots/);
    const [above] = await client.ask("callHierarchy/incomingCalls", { item: zone });
    assert.match(above.from.name, /spring 🌽/);
    const [row] = await client.ask("callHierarchy/outgoingCalls", { item: zone });
    assert.match(row.to.name, /last 🌽/);
    const [planting] = await client.ask("callHierarchy/outgoingCalls", { item: row.to });
    assert.match(planting.to.name, /beet/);
  }));

test("names that must agree are edited as one", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const end = farm.positionAt(farm.getText().length);
    const sown = (at, on) => `sow(row(yard, at = ${at} * ft), beet, count = 9, on = "${on}", succession = "🌽 beets")\n`;
    client.edit(farm, [{ range: { start: end, end }, newText: sown(16, "2027-04-12") + sown(20, "2027-05-03") }]);
    await client.diagnostics(farm);
    const position = { line: 16, character: farm.getText().split("\n")[16].indexOf("beets") };
    const linked = await client.ask("textDocument/linkedEditingRange", { ...about(farm), position });
    const texts = linked.ranges.map((range) => farm.getText(range));
    assert.deepEqual(texts, ["🌽 beets", "🌽 beets"]);
  }));

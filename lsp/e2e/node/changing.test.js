// What changes the text: rename, code actions, formatting; each carried out on the buffer.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFile } from "node:fs/promises";
import { test } from "node:test";
import { find, span, withFarm } from "./farm.js";

async function opened(client, file, findings) {
  const document = await client.open(file);
  await client.diagnostics(document, (list) => list.length === findings);
  return document;
}

const about = (document) => ({ textDocument: { uri: document.uri } });

test("rename a name in a file and in one that is not open, with CRLF", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path("farm.star"), 3);
    const bench = await readFile(path("fields/bench.star"), "utf8");
    const position = find(farm, "sow(row(«bench»").start;
    const prepared = await client.ask("textDocument/prepareRename", { ...about(farm), position });
    assert.equal(span(prepared.range), "15:8-15:13");
    assert.equal(prepared.placeholder, "bench");
    await client.apply(await client.ask("textDocument/rename", { ...about(farm), position, newName: "banc" }));
    assert.match(farm.getText(), /^load\(".\/fields\/bench.star", "banc"\)$/m);
    assert.match(farm.getText(), /^sow\(row\(banc, at = 4/m);
    const renamed = bench.replace("bench = plot", "banc = plot").replace("row(bench,", "row(banc,");
    assert.equal(await readFile(path("fields/bench.star"), "utf8"), renamed);
  }));

test("rename a thing by its name in quotes", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path("farm.star"), 3);
    const position = find(farm, 'name = "«🌽é»"').start;
    const edit = await client.ask("textDocument/rename", { ...about(farm), position, newName: "côté 🌽🌽" });
    await client.apply(edit);
    assert.match(farm.getText(), /^first = row\(yard, at = 4 \* ft, name = "côté 🌽🌽"\)$/m);
    const [left] = await client.diagnostics(farm);
    assert.match(left.message, /^côté 🌽🌽 of Cour d'été 🌽/);
  }));

test("rename to what is no name is refused with a reason", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path("farm.star"), 3);
    const position = find(farm, "«first» = row").start;
    await assert.rejects(client.ask("textDocument/rename", { ...about(farm), position, newName: "2 beds" }), /2 beds/);
    await assert.rejects(client.ask("textDocument/rename", { ...about(farm), position, newName: "may" }), /may/);
  }));

// actions gives those offered for a place with the findings there, by title.
async function actions(client, document, range, only) {
  const diagnostics = (await client.diagnostics(document)).filter((d) => span(d.range) === span(range));
  const context = { diagnostics, ...(only && { only }) };
  const list = await client.ask("textDocument/codeAction", { ...about(document), range, context });
  return new Map(list.map((action) => [action.title, action]));
}

test("a fix applied to the buffer mends its finding and no other", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path("farm.star"), 3);
    const offered = await actions(client, farm, find(farm, "count = «26»"));
    assert.equal(offered.get("Plant 22").kind, "quickfix");
    await client.apply(offered.get("Plant 22").edit);
    assert.match(farm.getText(), /^plant\(row\(yard, at = 8 \* ft, name = "🌽 et blé"\), tomato,\tcount = 22, spacing/m);
    const codes = (await client.diagnostics(farm)).map((d) => d.code);
    assert.deepEqual(codes, ["row-feet-left-over", "bare-number"]);
  }));

test("a finding accepted in a file with CRLF keeps its line ends", () =>
  withFarm(async (client, path) => {
    const bench = await opened(client, path("fields/bench.star"), 1);
    const offered = await actions(client, bench, find(bench, "length = «40 * ft»"));
    await client.apply(offered.get("Accept planting-past-row-end and say why").edit);
    assert.match(bench.getText(), /\r\n# accept: planting-past-row-end — [^\r\n]+\r\nsow\(shed/);
    assert.doesNotMatch(bench.getText(), /[^\r]\n/);
    assert.deepEqual(await client.diagnostics(bench), []);
  }));

test("actions come in the kinds that were asked for", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path("farm.star"), 3);
    for (const kind of ["quickfix", "refactor"]) {
      const offered = [...(await actions(client, farm, find(farm, "count = «26»"), [kind])).values()];
      assert.ok(offered.length > 0 && offered.every((action) => action.kind.split(".")[0] === kind), kind);
    }
  }));

test("the unit of a quantity is converted", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path("farm.star"), 3);
    const offered = await actions(client, farm, find(farm, "length = «52 * ft», width"), ["refactor.rewrite"]);
    const title = [...offered.keys()].find((t) => /624/.test(t));
    assert.ok(title, [...offered.keys()].join("; "));
    await client.apply(offered.get(title).edit);
    assert.match(farm.getText(), /plot\("Cour d'été 🌽", length = 624 \* inch, width/);
  }));

const options = { tabSize: 4, insertSpaces: true };

for (const name of ["farm.star", "fields/bench.star"]) {
  test(`${name} is laid out as on the command line`, () =>
    withFarm(async (client, path) => {
      const document = await client.open(path(name));
      const laidOut = execFileSync(process.env.HAULM, ["fmt", "-"], { input: document.getText(), encoding: "utf8" });
      client.edit(document, await client.ask("textDocument/formatting", { ...about(document), options }));
      assert.equal(document.getText(), laidOut);
      assert.doesNotMatch(document.getText(), /\t/);
      assert.deepEqual(await client.ask("textDocument/formatting", { ...about(document), options }), []);
    }));
}

test("a range is laid out and the rest left alone", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    const before = farm.getText().split("\n");
    const range = { start: { line: 11, character: 0 }, end: { line: 11, character: 10 } };
    client.edit(farm, await client.ask("textDocument/rangeFormatting", { ...about(farm), range, options }));
    const after = farm.getText().split("\n");
    assert.equal(after[11], "plant(first, tomato, count = 20, spacing = 24 * inch, on = may)  # 🌽 two could be added");
    assert.deepEqual(after.toSpliced(11, 1), before.toSpliced(11, 1));
  }));

test("a new line is set in as deep as its brackets ask for", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    const end = farm.positionAt(farm.getText().length);
    client.edit(farm, [{ range: { start: end, end }, newText: 'plot("🌽é",\n' }]);
    const position = farm.positionAt(farm.getText().length);
    const edits = await client.ask("textDocument/onTypeFormatting", { ...about(farm), position, ch: "\n", options });
    client.edit(farm, edits);
    assert.ok(farm.getText().endsWith('plot("🌽é",\n    '));
  }));

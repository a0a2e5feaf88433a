import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdirSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { find, span, withFarm } from "./farm.js";

const brief = (list) => list.map((d) => [d.severity, d.code, span(d.range)]);

const inFarm = [
  [3, "row-feet-left-over", "11:29-11:31"],
  [1, "planting-past-row-end", "13:66-13:68"],
  [1, "bare-number", "14:60-14:62"],
];

test("findings are published for the version they are of, at the columns of UTF-16", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    const found = await client.diagnostics(farm, (list) => list.length > 0);
    assert.deepEqual(brief(found), inFarm);
    assert.match(found[1].message, /^26 plants of tomato, 24 in apart, reach 50 ft along 🌽 et blé of Cour d'été 🌽/);
    assert.ok(found.every((d) => d.source === "haulm" && d.codeDescription.href.endsWith(`/${d.code}.md`)));
  }));

test("findings in a file with CRLF", () =>
  withFarm(async (client, path) => {
    const bench = await client.open(path("fields/bench.star"));
    const found = await client.diagnostics(bench, (list) => list.length > 0);
    assert.deepEqual(brief(found), [[1, "planting-past-row-end", "6:25-6:32"]]);
  }));

test("findings at the columns of UTF-8, for a client that counts so", () =>
  withFarm(
    async (client, path) => {
      assert.equal(client.answer.capabilities.positionEncoding, "utf-8");
      const farm = await client.open(path("farm.star"));
      const found = await client.diagnostics(farm, (list) => list.length > 0);
      assert.deepEqual(brief(found), [
        [3, "row-feet-left-over", "11:29-11:31"],
        [1, "planting-past-row-end", "13:69-13:71"],
        [1, "bare-number", "14:65-14:67"],
      ]);
    },
    { changes: { general: { positionEncodings: ["utf-8", "utf-16"] } } },
  ));

test("findings follow edits, come back with them, and go when the file closes", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    await client.diagnostics(farm, (list) => list.length === 3);
    client.edit(farm, [{ range: find(farm, "length = «12», on"), newText: "42 * ft" }]);
    assert.deepEqual(brief(await client.diagnostics(farm)), inFarm.slice(0, 2));
    client.edit(farm, [
      { range: find(farm, "count = «26»"), newText: "22" },
      { range: find(farm, "count = «20»"), newText: '"🌽🌽"' },
    ]);
    assert.deepEqual(brief(await client.diagnostics(farm)), [[1, "wrong-type", "11:29-11:35"]]);
    client.edit(farm, [{ range: find(farm, '«"🌽🌽"»'), newText: "22" }]);
    assert.deepEqual(brief(await client.diagnostics(farm)), []);
    client.edit(farm, [{ range: find(farm, "count = «22», spacing = 24 * inch, on = may)\nsow"), newText: "99" }]);
    assert.deepEqual(brief(await client.diagnostics(farm)), [inFarm[1]]);
    client.close(farm);
    await client.cleared(farm.uri);
  }));

test("a file that closes and opens at once has its findings again", () =>
  withFarm(async (client, path) => {
    let farm = await client.open(path("farm.star"));
    for (let i = 0; i < 20; i++) {
      await client.diagnostics(farm, (list) => list.length === 3);
      client.close(farm);
      farm = await client.open(path("farm.star"));
    }
    assert.deepEqual(brief(await client.diagnostics(farm, (list) => list.length > 0)), inFarm);
  }));

test("the rest of the farm stays alive while a statement is broken", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    await client.diagnostics(farm, (list) => list.length === 3);
    client.edit(farm, [{ range: find(farm, 'name = "🌽 et blé"«)», tomato'), newText: "" }]);
    const found = brief(await client.diagnostics(farm));
    assert.deepEqual(found.filter(([, code]) => code === "syntax").map(([, , at]) => at.split(":")[0]), ["13"]);
    assert.deepEqual(found.filter(([, code]) => code !== "syntax"), [inFarm[0], inFarm[2]]);
  }));

test("unsaved text of one file counts in another", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    await client.diagnostics(farm, (list) => list.length === 3);
    const bench = await client.open(path("fields/bench.star"));
    await client.diagnostics(bench, (list) => list.length === 1);
    client.edit(bench, [{ range: find(bench, "«bench» = plot"), newText: "stage" }]);
    await client.diagnostics(bench, (list) => list.some((d) => d.code === "unknown-name"));
    await client.diagnostics(farm, (list) => list.length > 3);
  }));

test("a file that changes on disk counts too", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    await client.diagnostics(farm, (list) => list.length === 3);
    await writeFile(path("fields/bench.star"), "stage = 1\r\n");
    client.tell("workspace/didChangeWatchedFiles", {
      changes: [{ uri: pathToFileURL(path("fields/bench.star")).href, type: 2 }],
    });
    await client.diagnostics(farm, (list) => list.length > 3);
  }));

test("saving changes nothing that was not there before", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    await client.diagnostics(farm, (list) => list.length === 3);
    client.edit(farm, [{ range: find(farm, "length = «12, on»"), newText: "42 * ft, on" }]);
    const found = await client.diagnostics(farm);
    await writeFile(path("farm.star"), farm.getText());
    client.tell("textDocument/didSave", { textDocument: { uri: farm.uri } });
    client.edit(farm, [{ range: find(farm, "# «🌽 two could be added»"), newText: "é" }]);
    assert.deepEqual(brief(await client.diagnostics(farm)), brief(found));
  }));

test("a folder that joins the workspace brings its plans, and takes them with it", () =>
  withFarm(
    async (client, path) => {
      mkdirSync(path("../north"), { recursive: true });
      const north = pathToFileURL(path("../north")).href;
      await writeFile(path("../north/farm.star"), 'farm("🌽", year = 2027)\nplot("é", length = 9, width = 4 * ft)\n');
      const plans = async () => {
        const { items } = await client.ask("workspace/diagnostic", { previousResultIds: [] });
        return items.filter((item) => item.uri.startsWith(`${north}/`)).map((item) => item.items.length);
      };
      const change = (event) => client.tell("workspace/didChangeWorkspaceFolders", { event: { added: [], removed: [], ...event } });
      assert.deepEqual(await plans(), []);
      change({ added: [{ uri: north, name: "north" }] });
      assert.deepEqual(await plans(), [1]);
      change({ removed: [{ uri: north, name: "north" }] });
      assert.deepEqual(await plans(), []);
    },
    { changes: { textDocument: { diagnostic: { dynamicRegistration: false } } } },
  ));

test("a client may ask for findings, of a document and of the workspace", () =>
  withFarm(
    async (client, path) => {
      const farm = await client.open(path("farm.star"));
      const textDocument = { uri: farm.uri };
      const first = await client.ask("textDocument/diagnostic", { textDocument });
      assert.equal(first.kind, "full");
      assert.deepEqual(brief(first.items), inFarm);
      const bench = pathToFileURL(path("fields/bench.star")).href;
      assert.deepEqual(Object.keys(first.relatedDocuments), [bench]);
      const again = await client.ask("textDocument/diagnostic", { textDocument, previousResultId: first.resultId });
      assert.equal(again.kind, "unchanged");
      const { items } = await client.ask("workspace/diagnostic", { previousResultIds: [] });
      assert.deepEqual(
        items.map((item) => [item.uri, item.version, item.items.length]).sort(),
        [
          [farm.uri, 1, 3],
          [bench, null, 1],
        ].sort(),
      );
    },
    { changes: { textDocument: { diagnostic: { dynamicRegistration: false, relatedDocumentSupport: true } } } },
  ));

// codePoint turns a column as haulm check counts it, in code points from 1, into one of UTF-16.
function codePoint(document, { line, column }) {
  const text = document.getText().split(/\r?\n/)[line - 1];
  return { line: line - 1, character: [...text].slice(0, column - 1).join("").length };
}

test("an editor shows what haulm check says", () =>
  withFarm(async (client, path) => {
    const { stdout } = spawnSync(process.env.HAULM, ["check", "--format", "json", path(".")], { encoding: "utf8" });
    const { findings } = JSON.parse(stdout);
    assert.equal(findings.length, 4);
    for (const name of ["farm.star", "fields/bench.star"]) {
      const document = await client.open(path(name));
      const shown = await client.diagnostics(document, (list) => list.length > 0);
      const said = findings.filter((f) => f.file === path(name));
      assert.deepEqual(
        shown.map((d) => [d.code, d.message, span(d.range)]),
        said.map((f) => [
          f.code,
          f.help ? `${f.message}\n${f.help}` : f.message,
          span({ start: codePoint(document, f.range.start), end: codePoint(document, f.range.end) }),
        ]),
      );
    }
  }));

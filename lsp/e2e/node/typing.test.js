// What comes while a grower types: completion, hover, signatures, hints.
import assert from "node:assert/strict";
import { test } from "node:test";
import { find, span, withFarm } from "./farm.js";

// opened gives the farm as soon as it is worked out.
async function opened(client, path) {
  const farm = await client.open(path("farm.star"));
  await client.diagnostics(farm, (list) => list.length === 3);
  return farm;
}

// typed adds a text at the end and gives the place behind it.
function typed(client, document, text) {
  const end = document.positionAt(document.getText().length);
  client.edit(document, [{ range: { start: end, end }, newText: text }]);
  return document.positionAt(document.getText().length);
}

const complete = (client, document, position) =>
  client.ask("textDocument/completion", { textDocument: { uri: document.uri }, position, context: { triggerKind: 1 } });

const labels = (list) => list.items.map((item) => item.label);

test("completion of a crop behind wide characters, and of one that must be loaded first", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const list = await complete(client, farm, typed(client, farm, 'plant(row(yard, name = "🌽é\\t", at = 16 * ft), tom'));
    assert.equal(labels(list)[0], "tomato");
    assert.ok(labels(list).includes("cherry_tomato"));
    assert.equal(span(list.items[0].textEdit.range), "16:47-16:50");
    const cherry = list.items.find((item) => item.label === "cherry_tomato");
    const resolved = await client.ask("completionItem/resolve", cherry);
    assert.match(resolved.documentation.value, /Solanaceae/);
    client.edit(farm, [resolved.textEdit, ...resolved.additionalTextEdits]);
    const lines = farm.getText().split("\n");
    assert.match(lines[2], /^load\("crops", .*"cherry_tomato"/);
    assert.equal(lines[16], 'plant(row(yard, name = "🌽é\\t", at = 16 * ft), cherry_tomato');
  }));

test("completion of arguments, units and names inside quotes", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const argument = labels(await complete(client, farm, typed(client, farm, "plot(\"🌽\", len")));
    assert.equal(argument[0], "length");
    const unit = labels(await complete(client, farm, typed(client, farm, "gth = 9 * ")));
    assert.ok(["ft", "inch", "m"].every((name) => unit.includes(name)), unit.join());
    assert.ok(!unit.includes("gpm"));
    const word = labels(await complete(client, farm, typed(client, farm, 'ft, width = 1 * ft, soil = soil(texture = "')));
    assert.ok(word.includes("sandy loam"), word.join());
  }));

test("completion in a file with CRLF", () =>
  withFarm(async (client, path) => {
    const bench = await client.open(path("fields/bench.star"));
    await client.diagnostics(bench, (list) => list.length === 1);
    const list = await complete(client, bench, typed(client, bench, 'sow(she'));
    assert.equal(labels(list)[0], "shed");
    assert.equal(span(list.items[0].textEdit.range), "7:4-7:7");
  }));

test("hover tells what a line amounts to", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const { contents, range } = await client.ask("textDocument/hover", {
      textDocument: { uri: farm.uri },
      position: find(farm, 'name = "🌽 et blé"), «tomato»').start,
    });
    assert.equal(span(range), "13:50-13:56");
    assert.match(contents.value, /Solanaceae/);
    const planted = await client.ask("textDocument/hover", {
      textDocument: { uri: farm.uri },
      position: find(farm, "«plant»(row(yard").start,
    });
    assert.match(planted.contents.value, /26 tomato.*🌽 et blé of Cour d'été 🌽/);
    const nothing = await client.ask("textDocument/hover", { textDocument: { uri: farm.uri }, position: { line: 1, character: 0 } });
    assert.equal(nothing, null);
  }));

test("signature help behind wide characters", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const help = await client.ask("textDocument/signatureHelp", {
      textDocument: { uri: farm.uri },
      position: find(farm, 'name = "🌽🌽é", «at» = 12').end,
      context: { triggerKind: 1, isRetrigger: false },
    });
    const { label, parameters } = help.signatures[help.activeSignature ?? 0];
    assert.match(label, /^row\(/);
    const active = parameters[help.activeParameter].label;
    assert.match(label.slice(...active), /^at\b/);
  }));

const wholeOf = (document) => ({ start: { line: 0, character: 0 }, end: document.positionAt(document.getText().length) });

const hintsOf = async (client, document, range = wholeOf(document)) =>
  (await client.ask("textDocument/inlayHint", { textDocument: { uri: document.uri }, range })).map((hint) => [
    `${hint.position.line}:${hint.position.character}`,
    hint.label,
  ]);

test("inlay hints tell what was worked out, where it belongs, in forty characters", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const hints = await hintsOf(client, farm);
    assert.ok(hints.every(([, label]) => [...label].length <= 40), JSON.stringify(hints));
    assert.ok(hints.some(([at, label]) => at === "9:44" && label === "3 ft left"), JSON.stringify(hints));
    assert.ok(hints.some(([at, label]) => at === "15:66" && label.startsWith("97 plants")), JSON.stringify(hints));
    const some = await hintsOf(client, farm, { start: { line: 15, character: 0 }, end: { line: 15, character: 66 } });
    assert.ok(some.length > 0 && some.every(([at]) => at.startsWith("15:")), JSON.stringify(some));
  }));

test("a hint that is pointed at says how it was reckoned", () =>
  withFarm(async (client, path) => {
    const farm = await opened(client, path);
    const hints = await client.ask("textDocument/inlayHint", { textDocument: { uri: farm.uri }, range: wholeOf(farm) });
    const left = hints.find((hint) => hint.label === "3 ft left");
    const { tooltip, ...rest } = await client.ask("inlayHint/resolve", left);
    assert.match(tooltip.value, /row length 42 ft/);
    assert.deepEqual(rest, left);
  }));

test("each kind of hint can be switched off, when the server starts and later", () =>
  withFarm(
    async (client, path) => {
      const farm = await opened(client, path);
      const counts = (hints) => hints.filter(([, label]) => label.includes("plants")).length;
      assert.equal(counts(await hintsOf(client, farm)), 0);
      assert.ok((await hintsOf(client, farm)).length > 0);
      client.settings.haulm.inlayHints.counts = true;
      await client.requests("workspace/inlayHint/refresh", () =>
        client.tell("workspace/didChangeConfiguration", { settings: client.settings }),
      );
      assert.equal(counts(await hintsOf(client, farm)), 1);
    },
    { options: { inlayHints: { counts: false } }, settings: { haulm: { inlayHints: { counts: false } } } },
  ));

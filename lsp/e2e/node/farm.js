// The farm of the tests: a copy of ../testdata/farm for each, since tests write in it.
import assert from "node:assert/strict";
import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { Client } from "./client.js";

const original = fileURLToPath(new URL("../testdata/farm", import.meta.url));

/**
 * withFarm runs a test with a client in a fresh copy of the farm, and then holds what every test must: the server left
 * with exit code 0, wrote nothing to standard error, owes no answer, and not a message broke the protocol.
 */
export async function withFarm(run, options) {
  const top = mkdtempSync(join(tmpdir(), "haulm-e2e-"));
  const folder = join(top, "farm");
  cpSync(original, folder, { recursive: true });
  try {
    const client = await Client.start(folder, options);
    let code;
    try {
      await run(client, (name) => join(folder, name));
      code = await client.stop();
    } finally {
      client.process.kill();
    }
    assert.equal(code, 0);
    assert.equal(client.errors, "");
    assert.deepEqual(client.conversation.unanswered("client"), []);
    assert.deepEqual(client.conversation.problems, []);
    assert.ok(client.conversation.messages > 4);
  } finally {
    rmSync(top, { recursive: true });
  }
}

/** find gives the place of a text in a document: of the part between « and » in it, else of all of it. */
export function find(document, text) {
  const plain = text.replace(/[«»]/g, "");
  const start = document.getText().indexOf(plain);
  assert.ok(start >= 0, `the document has no ${plain}`);
  assert.equal(document.getText().indexOf(plain, start + 1), -1, `the document has ${plain} twice`);
  const marked = text.includes("«");
  const from = start + (marked ? text.indexOf("«") : 0);
  const to = start + (marked ? text.indexOf("»") - 1 : plain.length);
  return { start: document.positionAt(from), end: document.positionAt(to) };
}

/** span writes a range short: "14:60-14:62", lines and UTF-16 columns from 0. */
export function span({ start, end }) {
  return `${start.line}:${start.character}-${end.line}:${end.character}`;
}

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { test } from "node:test";
import lsp from "vscode-languageserver-protocol/node";
import { withFarm } from "./farm.js";
import { Client } from "./client.js";

test("the server says who it is and leaves with exit code 0", () =>
  withFarm(async (client) => {
    assert.equal(client.answer.serverInfo.name, "haulm");
    assert.equal(client.answer.capabilities.positionEncoding, "utf-16");
  }));

test("a server that was not asked to shut down leaves with exit code 1", async () => {
  const client = await Client.start(process.cwd());
  client.tell("exit");
  assert.equal(await client.exited, 1);
  client.connection.dispose();
  assert.deepEqual(client.conversation.problems, []);
});

test("a server whose editor is gone leaves with exit code 1", async () => {
  const server = spawn(process.env.HAULM, ["lsp"], { stdio: ["pipe", "ignore", "inherit"] });
  server.stdin.end();
  assert.deepEqual(await once(server, "exit"), [1, null]);
});

test("a method that is not served is refused, and the server lives on", () =>
  withFarm(async (client) => {
    await assert.rejects(
      client.ask("textDocument/moniker", { textDocument: { uri: "file:///x.star" }, position: { line: 0, character: 0 } }),
      { code: -32601 },
    );
  }));

test("a client that wants to trace is listened to", () =>
  withFarm(async (client) => {
    client.tell("$/setTrace", { value: "verbose" });
    client.tell("$/setTrace", { value: "off" });
    assert.ok(Array.isArray(await client.ask("workspace/symbol", { query: "" })));
  }));

test("a request that is cancelled is answered all the same", () =>
  withFarm(async (client) => {
    const cancel = new lsp.CancellationTokenSource();
    const answer = client.connection.sendRequest("workspace/symbol", { query: "" }, cancel.token);
    cancel.cancel();
    const code = await answer.then(() => "in time", (error) => error.code);
    assert.ok(client.conversation.methods.has("$/cancelRequest"));
    assert.ok(["in time", lsp.LSPErrorCodes.RequestCancelled].includes(code), String(code));
  }));

test("what a plan prints is in the log", () =>
  withFarm(async (client, path) => {
    const farm = await client.open(path("farm.star"));
    const end = farm.positionAt(farm.getText().length);
    client.edit(farm, [{ range: { start: end, end }, newText: 'print("🌽", 2 * ft)\n' }]);
    await client.log(/🌽 2 ft/);
  }));

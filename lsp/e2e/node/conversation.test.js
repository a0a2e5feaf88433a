// What the validator must refuse, it refuses: otherwise the tests of the server would prove nothing.
import assert from "node:assert/strict";
import { test } from "node:test";
import { TextDocument } from "vscode-languageserver-textdocument";
import { Conversation } from "./conversation.js";

const uri = "file:///farm/farm.star";
const at = (line, character) => ({ line, character });
const range = (line, from, to) => ({ start: at(line, from), end: at(line, to) });
const textDocument = { uri };

// answered gives what is wrong with a result for a method.
function answered(method, params, result) {
  const document = TextDocument.create(uri, "haulm", 1, 'a = "🌽é"\r\n\tb = 2\r\n');
  const conversation = new Conversation((of) => (of === uri ? document : undefined));
  assert.deepEqual(conversation.said("client", { jsonrpc: "2.0", id: 7, method, ...(params && { params }) }), []);
  const found = conversation.said("server", { jsonrpc: "2.0", id: 7, result });
  assert.deepEqual(conversation.unanswered("client"), []);
  return found;
}

const position = { textDocument, position: at(0, 0) };
const hints = { textDocument, range: range(0, 0, 1) };
const actions = { textDocument, range: range(0, 0, 1), context: { diagnostics: [] } };

const results = [
  ["a hover", "textDocument/hover", position, { contents: { kind: "markdown", value: "16 plants" }, range: range(0, 4, 9) }, []],
  ["no hover", "textDocument/hover", position, null, []],
  ["a list as null", "textDocument/completion", position, { isIncomplete: false, items: null }, [/items: null is not CompletionItem\[\]/]],
  ["a list within as null", "textDocument/signatureHelp", position, { signatures: [{ label: "row()", parameters: null }] }, [/signatures\[0\]\.parameters: null is not ParameterInformation\[\]/]],
  ["an optional property as null", "textDocument/inlayHint", hints, [{ position: at(0, 1), label: "16", kind: null }], [/\[0\]\.kind: null is not/]],
  ["diagnostics as null", "textDocument/diagnostic", { textDocument }, { kind: "full", items: null }, [/items: null is not/]],
  ["an empty list", "textDocument/inlayHint", hints, [], []],
  ["a missing property", "textDocument/documentSymbol", { textDocument }, [{ name: "row", kind: 5, range: range(0, 0, 9) }], [/\[0\]\.selectionRange: is missing/]],
  ["a property that is not there", "textDocument/codeLens", { textDocument }, [{ range: range(0, 0, 1), comand: 1 }], [/\[0\]\.comand: CodeLens has no such property/]],
  ["a code outside the list", "textDocument/documentHighlight", position, [{ range: range(0, 0, 1), kind: 4 }], [/\[0\]\.kind: 4 is not/]],
  ["a number below nought", "textDocument/foldingRange", { textDocument }, [{ startLine: -1, endLine: 1 }], [/\[0\]\.startLine: -1 is no integer from 0/]],
  ["a number in parts", "textDocument/semanticTokens/full", { textDocument }, { data: [0, 0.5, 1, 1, 0] }, [/data\[1\]: 0\.5 is no integer/]],
  ["a pair", "textDocument/signatureHelp", position, { signatures: [{ label: "row()", parameters: [{ label: [0, 3] }] }] }, []],
  ["half a pair", "textDocument/signatureHelp", position, { signatures: [{ label: "row()", parameters: [{ label: [0] }] }] }, [/label: \[0\] is not/]],
  ["one of two kinds", "textDocument/codeAction", actions, [{ title: "Mend it", edit: { changes: { [uri]: [{ range: range(0, 0, 1), newText: "b" }] } } }], []],
  ["a text for an object", "textDocument/codeAction", actions, [{ title: "Mend it", edit: "b" }], [/edit/]],
  ["an edit without its text", "textDocument/codeAction", actions, [{ title: "Mend it", edit: { changes: { [uri]: [{ range: range(0, 0, 1) }] } } }], [/newText: is missing/]],
  ["something for nothing", "shutdown", undefined, {}, [/must be null/]],
  ["a range between the halves of a character", "textDocument/hover", position, { contents: "", range: range(0, 4, 6) }, [/character 6 of line 0 is half of/]],
  ["a range that takes in a carriage return", "textDocument/hover", position, { contents: "", range: range(0, 4, 11) }, [/character 11 is past the end of line 0/]],
  ["a range past the text", "textDocument/hover", position, { contents: "", range: range(3, 0, 0) }, [/line 3 is past the end/, /line 3 is past the end/]],
  ["a range back to front", "textDocument/hover", position, { contents: "", range: range(0, 3, 1) }, [/ends before it starts/]],
  ["a place in another text", "textDocument/definition", position, { uri: "file:///farm/beds.star", range: range(90, 3, 9) }, []],
  ["an edit past the text", "textDocument/rename", { ...position, newName: "b" }, { changes: { [uri]: [{ range: range(5, 0, 1), newText: "b" }] } }, [/line 5/, /line 5/]],
];

for (const [name, method, params, result, expected] of results) {
  test(`a result: ${name}`, () => matches(answered(method, params, result), expected));
}

const calls = [
  ["a log line", "server", { method: "window/logMessage", params: { type: 3, message: "rows in all: 6" } }, []],
  ["a published null", "server", { method: "textDocument/publishDiagnostics", params: { uri, version: 1, diagnostics: null } }, [/params\.diagnostics: null is not Diagnostic\[\]/]],
  ["a code as an object", "server", { method: "textDocument/publishDiagnostics", params: { uri, diagnostics: [{ range: range(0, 0, 1), message: "", code: {} }] } }, [/params\.diagnostics\[0\]\.code/]],
  ["the other side's method", "server", { method: "textDocument/didOpen", params: { textDocument: { uri, languageId: "haulm", version: 1, text: "" } } }, [/is not the server's to send/]],
  ["a request as a notification", "client", { method: "textDocument/hover", params: position }, [/is a request/]],
  ["a method that does not exist", "server", { method: "haulm/plants", params: {} }, [/no such method/]],
  ["no parameters as null", "server", { id: 1, method: "workspace/inlayHint/refresh", params: null }, [/params: null is not/, /params: there are none/]],
  ["parameters of nothing", "server", { id: 1, method: "workspace/inlayHint/refresh" }, []],
  ["another version", "server", { jsonrpc: "1.0", method: "window/logMessage", params: { type: 3, message: "" } }, [/jsonrpc/]],
  ["progress of nobody", "server", { method: "$/progress", params: { token: 1, value: { kind: "begin", title: "Working out" } } }, [/nobody made the token 1/]],
  ["options of a registration", "server", { id: 1, method: "client/registerCapability", params: { registrations: [{ id: "1", method: "workspace/didChangeWatchedFiles", registerOptions: { watchers: null } }] } }, [/registrations\[0\]\.registerOptions\.watchers: null is not/]],
  ["an answer to nothing", "server", { id: 9, result: null }, [/nothing with the id 9 was asked/]],
  ["an error without a text", "server", { id: null, error: { code: -32700 } }, [/error\.message: is missing/]],
];

for (const [name, side, message, expected] of calls) {
  test(`a message: ${name}`, () => {
    const conversation = new Conversation(() => undefined);
    matches(conversation.said(side, { jsonrpc: "2.0", ...message }), expected);
    assert.equal(conversation.problems.length, expected.length);
  });
}

test("progress by a token that was made", () => {
  const conversation = new Conversation(() => undefined);
  const say = (message) => conversation.said("server", { jsonrpc: "2.0", ...message });
  assert.deepEqual(say({ id: 1, method: "window/workDoneProgress/create", params: { token: "t" } }), []);
  assert.deepEqual(say({ method: "$/progress", params: { token: "t", value: { kind: "begin", title: "Working out" } } }), []);
  matches(say({ method: "$/progress", params: { token: "t", value: { kind: "report", percentage: -1 } } }), [/percentage/]);
  matches(say({ method: "$/progress", params: { token: "t", value: { kind: "done" } } }), [/done is no progress/]);
});

function matches(found, expected) {
  assert.equal(found.length, expected.length, found.join("\n"));
  expected.forEach((pattern, i) => assert.match(String(found[i]), pattern));
}

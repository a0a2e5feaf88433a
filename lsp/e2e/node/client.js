// A client of the language server on Microsoft's own library for the protocol: it starts the real binary, keeps open
// documents as an editor does, and holds every message to the protocol.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { readFile, writeFile } from "node:fs/promises";
import { fileURLToPath, pathToFileURL } from "node:url";
import lsp from "vscode-languageserver-protocol/node";
import { TextDocument } from "vscode-languageserver-textdocument";
import { capabilities } from "./capabilities.js";
import { Conversation } from "./conversation.js";

const binary = process.env.HAULM;

// rewrite edits a file that is not open.
async function rewrite(uri, edits) {
  const file = fileURLToPath(uri);
  const document = TextDocument.create(uri, "haulm", 0, await readFile(file, "utf8"));
  await writeFile(file, TextDocument.applyEdits(document, edits));
}

/** Client is one editor with its server. */
export class Client {
  documents = new Map(); // open, by URI
  logged = []; // texts of window/logMessage
  progress = []; // values of $/progress
  settings = {}; // what workspace/configuration gives

  #diagnostics = new Map(); // published last, by URI
  #requested = new Map(); // how often the server asked for what, by method
  #waiting = new Set(); // called when something came that they may wait for

  /** start runs the server for a folder; changes are merged into the capabilities that the client claims. */
  static async start(folder, { changes = {}, settings = {}, options } = {}) {
    const client = new Client();
    client.settings = settings;
    client.process = spawn(binary, ["lsp"], { stdio: ["pipe", "pipe", "pipe"] });
    client.errors = "";
    client.process.stderr.setEncoding("utf8").on("data", (text) => (client.errors += text));
    client.exited = once(client.process, "exit").then(([code, signal]) => code ?? signal);
    client.conversation = new Conversation((uri) => client.documents.get(uri));
    client.#connect();
    const uri = pathToFileURL(folder).href;
    const params = {
      processId: process.pid,
      clientInfo: { name: "haulm-e2e" },
      rootUri: uri,
      workspaceFolders: [{ uri, name: "farm" }],
      capabilities: capabilities(changes),
    };
    if (options) params.initializationOptions = options;
    client.answer = await client.ask("initialize", params);
    client.tell("initialized", {});
    return client;
  }

  #connect() {
    const { conversation } = this;
    const reader = new lsp.StreamMessageReader(this.process.stdout);
    const writer = new lsp.StreamMessageWriter(this.process.stdin);
    const listen = reader.listen.bind(reader);
    reader.listen = (take) =>
      listen((message) => {
        conversation.said("server", message);
        take(message);
      });
    const write = writer.write.bind(writer);
    let left = false;
    writer.write = async (message) => {
      if (left) return; // who has said exit says no more; the library would answer requests all the same
      left = message.method === "exit";
      conversation.said("client", JSON.parse(JSON.stringify(message)));
      return write(message);
    };
    this.connection = lsp.createProtocolConnection(reader, writer);
    this.connection.onNotification("textDocument/publishDiagnostics", (params) => {
      this.#diagnostics.set(params.uri, params);
      this.#look();
    });
    this.connection.onNotification("window/logMessage", ({ message }) => {
      this.logged.push(message);
      this.#look();
    });
    this.connection.onNotification("$/progress", ({ value }) => this.progress.push(value));
    this.connection.onRequest("workspace/configuration", ({ items }) =>
      items.map(({ section }) => this.settings[section] ?? null),
    );
    for (const method of [
      "client/registerCapability",
      "window/workDoneProgress/create",
      "workspace/inlayHint/refresh",
      "workspace/codeLens/refresh",
      "workspace/semanticTokens/refresh",
      "workspace/diagnostic/refresh",
    ]) {
      this.connection.onRequest(method, () => {
        this.#requested.set(method, (this.#requested.get(method) ?? 0) + 1);
        this.#look();
        return null;
      });
    }
    this.connection.listen();
  }

  /** ask sends a request and gives its result. */
  ask(method, params) {
    return params === undefined ? this.connection.sendRequest(method) : this.connection.sendRequest(method, params);
  }

  /** tell sends a notification. */
  tell(method, params) {
    return params === undefined ? this.connection.sendNotification(method) : this.connection.sendNotification(method, params);
  }

  /** open shows a file to the server as an editor does and gives its document. */
  async open(file) {
    const uri = pathToFileURL(file).href;
    const document = TextDocument.create(uri, "haulm", 1, await readFile(file, "utf8"));
    this.documents.set(uri, document);
    this.tell("textDocument/didOpen", {
      textDocument: { uri, languageId: "haulm", version: 1, text: document.getText() },
    });
    return document;
  }

  /** edit applies text edits to an open document and tells the server of them, one change after the other. */
  edit(document, edits) {
    const text = TextDocument.applyEdits(document, edits);
    const last = [...edits].sort((a, b) => document.offsetAt(b.range.start) - document.offsetAt(a.range.start));
    const changes = last.map(({ range, newText }) => ({ range, text: newText }));
    TextDocument.update(document, changes, document.version + 1);
    if (document.getText() !== text) throw new Error("the edits of one change touch each other");
    this.tell("textDocument/didChange", {
      textDocument: { uri: document.uri, version: document.version },
      contentChanges: changes,
    });
  }

  /** apply carries out a workspace edit, as it must be carried out: on the versions it was made for. */
  async apply({ documentChanges }) {
    for (const { textDocument, edits } of documentChanges) {
      const document = this.documents.get(textDocument.uri);
      if (textDocument.version !== (document?.version ?? null)) throw new Error(`an edit of version ${textDocument.version}`);
      if (document) this.edit(document, edits);
      else await rewrite(textDocument.uri, edits);
    }
  }

  /** close closes a document. */
  close(document) {
    this.documents.delete(document.uri);
    this.#diagnostics.delete(document.uri); // as an editor takes the marks off a text that it closes
    this.tell("textDocument/didClose", { textDocument: { uri: document.uri } });
  }

  /** diagnostics waits for those of a document's newest version that satisfy a condition. */
  async diagnostics(document, wanted = () => true) {
    const look = () => {
      const published = this.#diagnostics.get(document.uri);
      return published?.version === document.version && wanted(published.diagnostics) ? published.diagnostics : undefined;
    };
    return this.#until(look, () => `diagnostics of ${document.uri}; the last are ${JSON.stringify(this.#diagnostics.get(document.uri))}`);
  }

  /** cleared waits until a document has no diagnostics. */
  async cleared(uri) {
    return this.#until(() => this.#diagnostics.get(uri)?.diagnostics.length === 0 || undefined, () => `${uri} to be cleared`);
  }

  /** requests does something and waits until the server asks for a method because of it. */
  async requests(method, doing) {
    const before = this.#requested.get(method) ?? 0;
    doing();
    await this.#until(() => this.#requested.get(method) > before || undefined, () => `a request ${method}`);
  }

  /** log waits for a line of the server's log. */
  async log(pattern) {
    return this.#until(() => this.logged.find((line) => pattern.test(line)), () => `${pattern} among ${this.logged}`);
  }

  #look() {
    for (const look of [...this.#waiting]) look();
  }

  #until(look, what) {
    return new Promise((resolve, reject) => {
      const late = setTimeout(() => {
        this.#waiting.delete(again);
        reject(new Error(`waited in vain for ${what()}\n${this.errors}`));
      }, 30_000);
      const again = () => {
        const found = look();
        if (found === undefined) return;
        clearTimeout(late);
        this.#waiting.delete(again);
        resolve(found);
      };
      this.#waiting.add(again);
      again();
    });
  }

  /** stop shuts the server down and gives its exit code. */
  async stop() {
    await this.ask("shutdown");
    this.tell("exit");
    const code = await this.exited;
    this.connection.dispose();
    return code;
  }
}

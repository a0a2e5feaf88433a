// The language server at the other end of a WebSocket, and what it says of the texts: findings and hints.
import { LSPClient, LSPPlugin, findReferencesKeymap, formatKeymap, hoverTooltips, jumpToDefinitionKeymap, serverCompletion, signatureHelp } from "@codemirror/lsp-client";
import { setDiagnostics } from "@codemirror/lint";
import { StateEffect, StateField } from "@codemirror/state";
import { Decoration, EditorView, ViewPlugin, WidgetType, keymap } from "@codemirror/view";
import { tellKeymap, told } from "./tell.js";
import { Files } from "./workspace.js";

const pause = 120; // ms without a letter, before the server is asked

/** Starts a client. `lost` is called when the server is gone. */
export async function start(root, lost, files) {
  const client = new LSPClient({
    rootUri: root,
    timeout: 20000, // a large farm is worked out first
    sanitizeHTML: clean,
    workspace: (c) => new Files(c, files),
    notificationHandlers: { "window/logMessage": () => true, "textDocument/publishDiagnostics": () => true },
    extensions: [
      serverCompletion({ override: true }), hoverTooltips(), signatureHelp(), hints, askLater, told,
      keymap.of([...tellKeymap, ...formatKeymap, ...jumpToDefinitionKeymap, ...findReferencesKeymap]),
    ],
  });
  client.connect(await transport(lost));
  await client.initializing;
  return client;
}

function transport(lost) {
  return new Promise((done, failed) => {
    const socket = new WebSocket(new URL("/-/language", location.href.replace(/^http/, "ws")));
    const handlers = new Set();
    socket.onmessage = (e) => handlers.forEach((h) => h(e.data));
    socket.onclose = () => {
      failed(new Error("no language server"));
      lost();
    };
    socket.onopen = () =>
      done({
        send: (message) => socket.readyState === WebSocket.OPEN && socket.send(message),
        subscribe: (h) => handlers.add(h),
        unsubscribe: (h) => handlers.delete(h),
      });
  });
}

const allowed = new Set(["P", "BR", "CODE", "PRE", "EM", "STRONG", "UL", "OL", "LI", "H1", "H2", "H3", "H4", "HR", "SPAN", "TABLE", "THEAD", "TBODY", "TR", "TH", "TD", "BLOCKQUOTE"]);

/** Leaves of HTML made from Markdown only what makes words look like words: names of a plan may hold anything. */
function clean(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  for (const e of [...page.body.querySelectorAll("*")]) {
    if (!allowed.has(e.tagName)) {
      e.replaceWith(...(e.tagName === "A" ? e.childNodes : [e.textContent]));
      continue;
    }
    for (const { name } of [...e.attributes]) if (name !== "class") e.removeAttribute(name);
  }
  return page.body.innerHTML;
}

const severities = ["", "error", "warning", "info", "hint"];

/** Asks for the findings and hints of every open file, since a line of one can change another. */
export async function ask(client) {
  client.sync();
  await Promise.all(client.workspace.files.map(({ uri, view }) => client.withMapping(async (mapping) => {
    const place = (p) => mapping.mapPosition(uri, p);
    const range = { start: { line: 0, character: 0 }, end: { line: view.state.doc.lines, character: 0 } };
    try {
      const report = await client.request("textDocument/diagnostic", { textDocument: { uri } });
      if (report?.items) {
        view.dispatch(setDiagnostics(view.state, report.items.map((d) => ({
          from: place(d.range.start), to: place(d.range.end), severity: severities[d.severity ?? 1], source: String(d.code ?? ""), message: d.message,
        }))));
      }
      const list = await client.request("textDocument/inlayHint", { textDocument: { uri }, range });
      view.dispatch({ effects: setHints.of((list ?? []).map((h) => ({ at: place(h.position), text: textOf(h), before: h.paddingLeft }))) });
    } catch {
      // The text has changed since, which asks again; or the server is gone, which is said elsewhere.
    }
  })));
}

const askLater = ViewPlugin.fromClass(class {
  update(u) {
    if (!u.docChanged) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      const plugin = LSPPlugin.get(u.view);
      if (plugin) ask(plugin.client);
    }, pause);
  }
  destroy() {
    clearTimeout(this.timer);
  }
});

function textOf(hint) {
  return typeof hint.label === "string" ? hint.label : hint.label.map((p) => p.value).join("");
}

class Hint extends WidgetType {
  constructor(text, before) {
    super();
    this.text = text;
    this.before = before;
  }
  eq(other) {
    return other.text === this.text && other.before === this.before;
  }
  toDOM() {
    const e = document.createElement("span");
    e.className = this.before ? "hint before" : "hint";
    e.textContent = this.text;
    return e;
  }
}

const setHints = StateEffect.define();

const hints = StateField.define({
  create: () => Decoration.none,
  update(value, tr) {
    value = value.map(tr.changes);
    for (const e of tr.effects) {
      if (e.is(setHints)) {
        value = Decoration.set(e.value.map((h) => Decoration.widget({ widget: new Hint(h.text, h.before), side: 1 }).range(h.at)), true);
      }
    }
    return value;
  },
  provide: (f) => EditorView.decorations.from(f),
});

// The editor: the plan's files, one shown, on the language server of the same program; the book beside them.
import { autocompletion, closeBrackets, closeBracketsKeymap, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap } from "@codemirror/commands";
import { bracketMatching, indentOnInput, indentUnit } from "@codemirror/language";
import { lintGutter, lintKeymap } from "@codemirror/lint";
import { formatDocument, renameSymbol } from "@codemirror/lsp-client";
import { highlightSelectionMatches, search, searchKeymap } from "@codemirror/search";
import { EditorState } from "@codemirror/state";
import { EditorView, drawSelection, highlightActiveLine, highlightActiveLineGutter, keymap, lineNumbers } from "@codemirror/view";
import { ask, start } from "./language.js";
import { look } from "./look.js";
import { listen } from "./news.js";
import { pathOf, uriOf } from "./workspace.js";

const { root, entry } = document.body.dataset;
const [text, state, notice, choice] = ["text", "state", "notice", "file"].map((id) => document.getElementById(id));
const nonce = document.querySelector("script[nonce]").nonce;
const open = new Map(); // by path: {view, saved, tag}
let client;
let here = ""; // path of the file shown

function say(words) {
  if (state.textContent !== words) state.textContent = words;
}

/** Says something that wants an answer; each button is [words, what it does]. */
function alert(words, ...buttons) {
  notice.replaceChildren(words, ...buttons.map(([name, act]) => {
    const b = document.createElement("button");
    b.type = "button";
    b.textContent = name;
    b.onclick = () => {
      notice.hidden = true;
      act();
      open.get(here)?.view.focus();
    };
    return b;
  }));
  notice.hidden = false;
}

const textOf = (file) => file.view.state.sliceDoc();
const isChanged = (file) => textOf(file) !== file.saved;

/** Says what is saved and what is not. */
function tell() {
  const changed = [...open].filter(([, f]) => isChanged(f)).map(([path]) => path);
  say(changed.length ? `Not saved: ${changed.join(", ")}` : "All is saved.");
  for (const o of choice.options) o.textContent = (changed.includes(o.value) ? "* " : "") + o.value;
  document.title = `${changed.length ? "* " : ""}${here} – Haulm`;
}

async function fetchText(path) {
  const answer = await fetch(`/-/text?file=${encodeURIComponent(path)}`);
  const words = await answer.text();
  if (!answer.ok) throw new Error(words.trim());
  return { words, tag: answer.headers.get("ETag") };
}

function stateOf(path, words) {
  return EditorState.create({
    doc: words,
    extensions: [
      EditorView.cspNonce.of(nonce),
      EditorState.lineSeparator.of(words.includes("\r\n") ? "\r\n" : "\n"),
      EditorView.contentAttributes.of({ "aria-label": `The plan's text, ${path}`, spellcheck: "false", tabindex: "0" }),
      lineNumbers(), highlightActiveLine(), highlightActiveLineGutter(), drawSelection(), EditorView.lineWrapping, history(), indentOnInput(), indentUnit.of("    "),
      bracketMatching(), closeBrackets(), autocompletion(), search({ top: true }), highlightSelectionMatches(), lintGutter(), look,
      keymap.of([
        { key: "Mod-s", run: () => (save(), true) }, { key: "F2", run: (view) => (rename(view), true), preventDefault: true },
        ...closeBracketsKeymap, ...defaultKeymap, ...searchKeymap, ...historyKeymap, ...completionKeymap, ...lintKeymap,
      ]),
      EditorView.updateListener.of((u) => u.docChanged && tell()),
      client.plugin(uriOf(root, path), "starlark"),
    ],
  });
}

/** Opens a file, unless it is; gives it, or null for none that can be. */
async function openFile(path) {
  if (open.has(path)) return open.get(path);
  try {
    const { words, tag } = await fetchText(path);
    if (open.has(path)) return open.get(path); // meanwhile
    const view = new EditorView({ state: stateOf(path, words) });
    const file = { view, saved: view.state.sliceDoc(), tag };
    view.dom.hidden = true;
    text.append(view.dom);
    open.set(path, file);
    if (![...choice.options].some((o) => o.value === path)) choice.add(new Option(path, path));
    ask(client);
    return file;
  } catch (e) {
    alert(`${path} cannot be opened: ${e.message} `, ["Well", () => {}]);
    return null;
  }
}

async function show(path) {
  const file = await openFile(path);
  if (!file) {
    choice.value = here;
    return null;
  }
  for (const [p, f] of open) f.view.dom.hidden = p !== path;
  here = choice.value = path;
  file.view.requestMeasure();
  tell();
  return file.view;
}

/** Shows a line of a file. */
async function goTo(path, line) {
  const view = await show(path);
  if (!view) return;
  const at = view.state.doc.line(Math.min(Math.max(line, 1), view.state.doc.lines)).from;
  view.dispatch({ selection: { anchor: at }, effects: EditorView.scrollIntoView(at, { y: "center" }) });
  view.focus();
}

/** Shows the line that a page of the book shows. */
async function goToPage({ page, line }) {
  const file = (await filesOf()).find((f) => f.page === page);
  if (file) goTo(file.path, line);
}

const filesOf = async () => (await fetch("/-/files")).json();

/** Renames what the cursor is on: in all files of the plan, which have to be open for that. */
async function rename(view) {
  for (const f of await filesOf()) if (f.plan) await openFile(f.path);
  renameSymbol(view);
}

/** Saves every file that was changed, the one shown first. */
async function save() {
  for (const path of [here, ...open.keys()]) if (isChanged(open.get(path))) await saveFile(path);
  tell();
}

async function saveFile(path, over) {
  const file = open.get(path);
  const words = textOf(file);
  try {
    const answer = await fetch(`/-/text?file=${encodeURIComponent(path)}`, { method: "POST", headers: { "If-Match": over ?? file.tag }, body: words });
    if (answer.status === 412) return clash(path, answer.headers.get("ETag"));
    if (!answer.ok) throw new Error((await answer.text()).trim());
    file.saved = words;
    file.tag = answer.headers.get("ETag");
    notice.hidden = true;
    tell();
  } catch (e) {
    alert(`${path} was not saved: ${e.message} `, ["Try again", () => saveFile(path, over)], ["Later", () => {}]);
  }
}

/** Says that a file changed on disk while it was changed here, too. */
function clash(path, tag) {
  alert(
    `${path} was changed on disk since it was opened here. Nothing was written. `,
    ["Write mine over it", () => saveFile(path, tag)],
    ["Take what is on disk", () => reload(path)],
    ["Later", () => {}],
  );
}

async function reload(path) {
  const file = open.get(path);
  const { words, tag } = await fetchText(path);
  const next = file.view.state.toText(words);
  if (!next.eq(file.view.state.doc)) put(file.view, next);
  file.tag = tag;
  file.saved = textOf(file);
  tell();
}

/** Puts a text in place of another and leaves alone what is the same at both ends, and the cursor in it. */
function put(view, next) {
  const [a, b] = [view.state.doc.toString(), next.toString()];
  let from = 0;
  while (from < a.length && from < b.length && a[from] === b[from]) from++;
  let end = 0;
  while (end < a.length - from && end < b.length - from && a[a.length - 1 - end] === b[b.length - 1 - end]) end++;
  view.dispatch({ changes: { from, to: a.length - end, insert: next.slice(from, b.length - end) }, userEvent: "input.disk" });
}

/** Looks at what changed on disk: texts that were not touched here follow, of others it is said. */
async function disk() {
  const list = await filesOf();
  const known = new Set([...choice.options].map((o) => o.value));
  for (const f of list) if (f.plan && !known.has(f.path)) choice.add(new Option(f.path, f.path));
  const changes = [];
  for (const { path } of list) {
    const file = open.get(path);
    if (!file) {
      changes.push({ uri: uriOf(root, path), type: 2 });
      continue;
    }
    try {
      const { tag } = await fetchText(path);
      if (tag === file.tag) continue;
      if (isChanged(file)) clash(path, tag);
      else await reload(path);
    } catch (e) {
      alert(`${path}: ${e.message}. The text stays here. `, ["Well", () => {}]);
    }
  }
  client.notification("workspace/didChangeWatchedFiles", { changes });
  ask(client);
}

choice.onchange = async () => (await show(choice.value))?.focus();
document.getElementById("save").onclick = save;
document.getElementById("layout").onclick = () => {
  const { view } = open.get(here);
  formatDocument(view);
  view.focus();
};
const keys = document.getElementById("keys");
keys.onclick = () => {
  const help = document.getElementById("help");
  help.hidden = !help.hidden;
  keys.setAttribute("aria-expanded", String(!help.hidden));
};
document.addEventListener("keydown", (e) => {
  if ((e.ctrlKey || e.metaKey) && e.key === "s" && !e.defaultPrevented) {
    e.preventDefault();
    save();
  }
});
window.addEventListener("beforeunload", (e) => [...open.values()].some(isChanged) && e.preventDefault());
window.addEventListener("message", (e) => {
  if (e.origin === location.origin && e.source === document.getElementById("book").contentWindow) goToPage(e.data);
});

client = await start(
  uriOf(root, entry).replace(/\/[^/]*$/, ""),
  () => alert("haulm has ended. The texts stay here until this page is closed; start `haulm view --edit` again and copy what is not saved. "),
  {
    display: (uri) => (pathOf(root, uri) ? show(pathOf(root, uri)) : Promise.resolve(null)),
    open: (uri) => (pathOf(root, uri) ? openFile(pathOf(root, uri)) : Promise.resolve(null)),
  },
);
(await show(entry))?.focus();
let saved = null;
listen(({ saved: n }) => {
  if (saved !== null && n === saved) return;
  saved = n;
  disk();
}, () => {});

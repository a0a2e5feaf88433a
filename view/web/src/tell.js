// What stands at the cursor, for the keyboard: what the language server knows of it, and what it can do about it.
import { LSPPlugin } from "@codemirror/lsp-client";
import { StateEffect, StateField } from "@codemirror/state";
import { showTooltip } from "@codemirror/view";

const setTold = StateEffect.define();

/** The box at the cursor, gone with the next move or letter. */
export const told = StateField.define({
  create: () => null,
  update(value, tr) {
    for (const e of tr.effects) if (e.is(setTold)) return e.value;
    return tr.docChanged || tr.selection ? null : value;
  },
  provide: (f) => showTooltip.from(f),
});

/** Asks the server about the cursor's place and shows what `draw` makes of the answer. */
function asking(method, more, draw) {
  return (view) => {
    const plugin = LSPPlugin.get(view);
    const at = view.state.selection.main.head;
    const place = plugin.toPosition(at);
    plugin.client.sync();
    plugin.client.request(method, { textDocument: { uri: plugin.uri }, position: place, range: { start: place, end: place }, ...more }).then((answer) => {
      if (view.state.selection.main.head !== at) return;
      const create = () => {
        const dom = document.createElement("div");
        const mount = draw(dom, answer, view, plugin);
        return { dom, mount };
      };
      view.dispatch({ effects: setTold.of({ pos: at, above: true, create }) });
    }, () => {});
    return true;
  };
}

const what = asking("textDocument/hover", {}, (dom, answer, view, plugin) => {
  dom.className = "cm-tooltip-hover cm-lsp-hover-tooltip cm-lsp-documentation";
  dom.setAttribute("role", "status");
  if (answer) dom.innerHTML = plugin.docToHTML(answer.contents);
  else dom.textContent = "Nothing is known of this place.";
});

const offer = asking("textDocument/codeAction", { context: { diagnostics: [] } }, (dom, actions, view, plugin) => {
  dom.className = "offer";
  dom.setAttribute("role", "group");
  dom.setAttribute("aria-label", "What can be done here");
  if (!actions?.length) {
    dom.setAttribute("role", "status");
    dom.textContent = "Nothing is offered here.";
    return undefined;
  }
  for (const { title, edit } of actions) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = title;
    button.onclick = () => {
      apply(plugin.client, edit.changes);
      hush(view);
      view.focus();
    };
    dom.append(button);
  }
  dom.onkeydown = (e) => {
    const step = { ArrowDown: 1, ArrowUp: -1 }[e.key];
    const all = [...dom.children];
    if (step) all.at((all.indexOf(document.activeElement) + step) % all.length).focus();
    if (e.key === "Escape") {
      hush(view);
      view.focus();
    }
    if (step || e.key === "Escape") e.preventDefault();
  };
  return () => dom.firstChild.focus();
});

/** Changes the texts as the server wants them, in files that are not open yet, too. */
async function apply(client, changes) {
  for (const [uri, edits] of Object.entries(changes)) {
    const file = await client.workspace.requestFile(uri);
    if (!file) continue;
    const place = (p) => file.doc.line(p.line + 1).from + p.character;
    client.workspace.updateFile(uri, {
      changes: edits.map((e) => ({ from: place(e.range.start), to: place(e.range.end), insert: e.newText })),
      userEvent: "input.offer",
    });
  }
}

function hush(view) {
  if (!view.state.field(told)) return false;
  view.dispatch({ effects: setTold.of(null) });
  return true;
}

/** F1 says what is here, Ctrl-. what can be done about it, Escape takes either away. */
export const tellKeymap = [
  { key: "F1", run: what, preventDefault: true },
  { key: "Mod-.", run: offer, preventDefault: true },
  { key: "Escape", run: hush },
];

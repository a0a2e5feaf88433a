// The plan's files in the editor: one view for each file that was opened, one of them shown.
import { LSPPlugin, Workspace } from "@codemirror/lsp-client";

/** Builds the URI of a file of the plan; `root` is an absolute path with slashes. */
export function uriOf(root, path) {
  const whole = `${root.replace(/\/$/, "")}/${path}`;
  return `file://${whole.startsWith("/") ? "" : "/"}${whole.split("/").map(encodeURIComponent).join("/")}`;
}

/** Gives the path inside the root, or null for what lies outside. */
export function pathOf(root, uri) {
  let at = decodeURIComponent(new URL(uri).pathname);
  if (!root.startsWith("/")) at = at.slice(1);
  const top = `${root.replace(/\/$/, "")}/`;
  return at.startsWith(top) ? at.slice(top.length) : null;
}

/** What the language client knows of the files. `display` opens and shows one, `open` opens it only. */
export class Files extends Workspace {
  files = [];
  versions = new Map();

  constructor(client, { display, open }) {
    super(client);
    this.display = display;
    this.open = open;
  }

  next(uri) {
    const version = (this.versions.get(uri) ?? 0) + 1;
    this.versions.set(uri, version);
    return version;
  }

  syncFiles() {
    const updates = [];
    for (const file of this.files) {
      const plugin = LSPPlugin.get(file.view);
      if (!plugin || plugin.unsyncedChanges.empty) continue;
      updates.push({ changes: plugin.unsyncedChanges, file, prevDoc: file.doc });
      file.doc = file.view.state.doc;
      file.version = this.next(file.uri);
      plugin.clear();
    }
    return updates;
  }

  openFile(uri, languageId, view) {
    const file = { uri, languageId, version: this.next(uri), doc: view.state.doc, view, getView: () => view };
    this.files.push(file);
    this.client.didOpen(file);
  }

  closeFile(uri) {
    this.files = this.files.filter((f) => f.uri !== uri);
    this.client.didClose(uri);
  }

  async requestFile(uri) {
    await this.open(uri);
    return this.getFile(uri);
  }

  displayFile(uri) {
    return this.display(uri);
  }
}

// The VS Code extension: it starts `haulm lsp` and gives the language id "haulm" to the files of a plan. All that an
// editor shows of a plan comes from the server.
import { commands, type ExtensionContext, languages, type TextDocument, window, workspace } from "vscode";
import { LanguageClient, type LanguageClientOptions, type ServerOptions, State } from "vscode-languageclient/node";
import { liesInPlan } from "./folder";

let client: LanguageClient | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  context.subscriptions.push(
    workspace.onDidOpenTextDocument(adopt),
    commands.registerCommand("haulm.restart", restart),
  );
  await start();
  for (const document of workspace.textDocuments) void adopt(document);
}

export async function deactivate(): Promise<void> {
  await client?.stop();
}

/** adopt makes a *.star file a plan's where it lies in a plan's folder; others are left to whom they belong. */
async function adopt(document: TextDocument): Promise<void> {
  const { uri, languageId } = document;
  if (languageId === "haulm" || uri.scheme !== "file" || !uri.fsPath.endsWith(".star")) return;
  if (!liesInPlan(uri.fsPath)) return;
  try {
    await languages.setTextDocumentLanguage(document, "haulm");
  } catch {
    // It was closed meanwhile, as VS Code closes those that only a search opened; a next opening brings it back here.
  }
}

async function start(): Promise<void> {
  const path = workspace.getConfiguration("haulm").get<string>("server.path", "haulm");
  const server: ServerOptions = { command: path, args: ["lsp"] };
  const options: LanguageClientOptions = {
    documentSelector: [
      { language: "haulm", scheme: "file" },
      { language: "haulm", scheme: "untitled" },
    ],
  };
  client = new LanguageClient("haulm", "Haulm", server, options);
  try {
    await client.start();
  } catch (error) {
    await failed(path, error);
  }
}

async function failed(path: string, error: unknown): Promise<void> {
  const settings = "Open the setting";
  const reason = error instanceof Error ? error.message : String(error);
  const answer = await window.showErrorMessage(
    `The program "${path}" could not be started (${reason}). Install it, or say in haulm.server.path where it is.`,
    settings,
  );
  if (answer === settings) await commands.executeCommand("workbench.action.openSettings", "haulm.server.path");
}

async function restart(): Promise<void> {
  if (client?.state === State.Running) await client.stop();
  await start();
}

// What the validator reads: the protocol's own declarations, and beside them the few things that the package keeps
// to itself or says in words only. The shapes of base messages are those of JSON-RPC 2.0.
import type { integer, uinteger, LSPAny, ProgressToken } from "vscode-languageserver-protocol/node";

export * from "vscode-languageserver-protocol/node";

export interface Notification {
  jsonrpc: "2.0";
  method: string;
  params?: object;
}

export interface Request {
  jsonrpc: "2.0";
  id: integer | string;
  method: string;
  params?: object;
}

export interface Success {
  jsonrpc: "2.0";
  id: integer | string;
  result: LSPAny;
}

export interface Failure {
  jsonrpc: "2.0";
  id: integer | string | null;
  error: { code: integer; message: string; data?: LSPAny };
}

export interface CancelRequest {
  id: integer | string;
}

export interface Progress {
  token: ProgressToken;
  value: LSPAny;
}

export interface SetTrace {
  value: "off" | "messages" | "verbose";
}

export interface LogTrace {
  message: string;
  verbose?: string;
}

export type Columns = uinteger[];

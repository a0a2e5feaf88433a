// The table of the protocol's methods, read from the TypeScript declarations of vscode-languageserver-protocol, from
// which the protocol's meta model is generated too.
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import ts from "typescript";

const declarations = fileURLToPath(new URL("./protocol.d.ts", import.meta.url));
const library = createRequire(import.meta.url)("vscode-languageserver-protocol/node");

// Methods of the base protocol, whose declarations the package does not export.
const base = {
  "$/cancelRequest": { params: "CancelRequest", direction: "both" },
  "$/progress": { params: "Progress", direction: "both" },
  "$/setTrace": { params: "SetTrace", direction: "clientToServer" },
  "$/logTrace": { params: "LogTrace", direction: "serverToClient" },
};

/**
 * readProtocol gives the checker that knows the types, a type by its name, and of each method: whether it is a request,
 * who may send it ("clientToServer", "serverToClient" or "both"), and the types of its parameters, result and
 * registration options. A type is undefined where there is nothing to send.
 */
export function readProtocol() {
  const program = ts.createProgram([declarations], {
    strict: true,
    noEmit: true,
    skipLibCheck: true,
    types: [],
    target: ts.ScriptTarget.ES2022,
    module: ts.ModuleKind.NodeNext,
    moduleResolution: ts.ModuleResolutionKind.NodeNext,
  });
  const checker = program.getTypeChecker();
  const exported = new Map();
  for (const symbol of checker.getExportsOfModule(checker.getSymbolAtLocation(program.getSourceFile(declarations)))) {
    exported.set(symbol.name, symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol);
  }
  const type = (name) => checker.getDeclaredTypeOfSymbol(exported.get(name));

  const methods = new Map();
  for (const [name, { params, direction }] of Object.entries(base)) {
    methods.set(name, { request: false, direction, params: type(params) });
  }
  for (const [name, symbol] of exported) {
    if (!(symbol.flags & ts.SymbolFlags.ValueModule)) continue;
    const member = checker.getExportsOfModule(symbol).find((s) => s.name === "type");
    const method = member && readMethod(checker, checker.getTypeOfSymbol(member));
    if (method) methods.set(library[name].type.method, { ...method, direction: library[name].messageDirection });
  }
  return { checker, type, methods };
}

// readMethod reads the type arguments of a method's descriptor.
function readMethod(checker, descriptor) {
  const types = checker.getTypeArguments(descriptor).map((t) => (isNothing(t) ? undefined : t));
  switch (descriptor.symbol.name) {
    case "ProtocolRequestType":
      return { request: true, params: types[0], result: types[1], options: types[4] };
    case "ProtocolRequestType0":
      return { request: true, result: types[0], options: types[3] };
    case "ProtocolNotificationType":
      return { request: false, params: types[0], options: types[1] };
    case "ProtocolNotificationType0":
      return { request: false };
  }
}

function isNothing(type) {
  return (type.flags & (ts.TypeFlags.Void | ts.TypeFlags.Never | ts.TypeFlags.Undefined)) !== 0;
}

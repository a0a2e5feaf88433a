// Writes protocol.schema.json: the shapes of the protocol's messages as a JSON Schema, without their
// descriptions, from the TypeScript types of vscode-languageserver-protocol. In an empty folder:
//
//     npm install vscode-languageserver-protocol@3.17.5 typescript@5.4 typescript-json-schema
//     NODE_PATH=node_modules node .../protocol.js > .../protocol.schema.json
const fs = require("fs");
const protocol = require("vscode-languageserver-protocol");
const schemas = require("typescript-json-schema");

const lines = [
  'import * as p from "vscode-languageserver-protocol";',
  "type P<T> = T extends p.ProtocolRequestType<infer A, any, any, any, any> ? A",
  "  : T extends p.RequestType<infer A, any, any> ? A",
  "  : T extends p.ProtocolNotificationType<infer A, any> ? A",
  "  : T extends p.NotificationType<infer A> ? A : null;",
  "type R<T> = T extends p.ProtocolRequestType<any, infer B, any, any, any> ? B",
  "  : T extends p.ProtocolRequestType0<infer B, any, any, any> ? B",
  "  : T extends p.RequestType<any, infer B, any> ? B",
  "  : T extends p.RequestType0<infer B, any> ? B : null;",
  "type N<T> = [T] extends [void] ? null : Exclude<T, void | undefined>;",
  "export interface Messages {",
];
const served = /notebook|inlineCompletion|inlineValue|moniker|typeHierarchy|color|telemetry/i;
for (const name of Object.keys(protocol).sort()) {
  const type = protocol[name] && protocol[name].type;
  if (!type || typeof type.method !== "string" || served.test(type.method)) continue;
  const kind = type.constructor.name;
  const params = kind.endsWith("0") ? "" : `params: N<P<typeof p.${name}.type>>;`;
  const result = kind.includes("Request") ? `result: N<R<typeof p.${name}.type>>;` : "";
  lines.push(`  ${JSON.stringify(type.method)}: { ${params} ${result} };`);
}
lines.push('  "$/cancelRequest": { params: { id: number | string } };');
lines.push('  "$/progress": { params: { token: p.ProgressToken;');
lines.push("    value: p.WorkDoneProgressBegin | p.WorkDoneProgressReport | p.WorkDoneProgressEnd } };");
lines.push("}");
fs.writeFileSync("messages.ts", lines.join("\n"));

const program = schemas.getProgramFromFiles(["messages.ts"], { strictNullChecks: true, skipLibCheck: true });
const schema = schemas.generateSchema(program, "Messages", { required: true, noExtraProps: true, ignoreErrors: true });

// strip drops what is text only; the protocol's numbers are whole ones.
function strip(node) {
  if (Array.isArray(node)) return node.map(strip);
  if (!node || typeof node !== "object") return node;
  const out = {};
  for (const [key, value] of Object.entries(node)) {
    if (typeof value === "string" && ["description", "title", "$comment", "deprecated"].includes(key)) continue;
    if (key === "defaultProperties" || key === "deprecated" && typeof value !== "object") continue;
    out[key] = key === "type" && value === "number" ? "integer" : strip(value);
  }
  return out;
}
const { $schema, definitions, properties } = strip(schema);
const entries = (object) => Object.keys(object).sort().map((key) => `${JSON.stringify(key)}: ${JSON.stringify(object[key])}`);
process.stdout.write(`{
"$schema": ${JSON.stringify($schema)},
"$comment": "from the types of vscode-languageserver-protocol ${require("vscode-languageserver-protocol/package.json").version} by protocol.js",
"properties": {
${entries(properties).join(",\n")}
},
"definitions": {
${entries(definitions).join(",\n")}
}
}
`);

// Makes web/dist from web/src and the packages of package-lock.json: the same bytes wherever it runs.
import { readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";

process.chdir(import.meta.dirname);
rmSync("dist", { recursive: true, force: true });
const { metafile } = await build({
  entryPoints: ["src/live.js", "src/live.css", "src/edit.js", "src/edit.css"],
  outdir: "dist",
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  charset: "utf8",
  legalComments: "none", // they stand in licenses.txt
  metafile: true,
});

const names = new Set();
for (const file of Object.keys(metafile.inputs)) {
  const name = file.match(/^node_modules\/((?:@[^/]+\/)?[^/]+)\//)?.[1];
  if (name) names.add(name);
}
let licenses = "The scripts of this folder contain parts of these packages.\n";
for (const name of [...names].sort()) {
  const folder = join("node_modules", name);
  const { version } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  const file = readdirSync(folder).sort().find((f) => /^licen[cs]e/i.test(f));
  licenses += `\n---- ${name} ${version}\n\n${readFileSync(join(folder, file), "utf8").trim()}\n`;
}
writeFileSync("dist/licenses.txt", licenses);

const assert = require("node:assert/strict");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { test } = require("node:test");
const { transformSync } = require("esbuild");

// load gives what a module in TypeScript exports.
function load(file) {
  const { code } = transformSync(fs.readFileSync(file, "utf8"), { loader: "ts", format: "cjs" });
  const made = { exports: {} };
  new Function("module", "exports", "require", code)(made, made.exports, require);
  return made.exports;
}

test("a file is a plan's where a farm.star lies beside it or above", () => {
  const { liesInPlan } = load(path.join(__dirname, "../src/folder.ts"));
  const top = fs.mkdtempSync(path.join(os.tmpdir(), "haulm-"));
  try {
    fs.mkdirSync(path.join(top, "plan/fields/far"), { recursive: true });
    fs.writeFileSync(path.join(top, "plan/farm.star"), "");
    assert.equal(liesInPlan(path.join(top, "plan/farm.star")), true);
    assert.equal(liesInPlan(path.join(top, "plan/beds.star")), true);
    assert.equal(liesInPlan(path.join(top, "plan/fields/far/beds.star")), true);
    assert.equal(liesInPlan(path.join(top, "BUILD.star")), false);
  } finally {
    fs.rmSync(top, { recursive: true });
  }
});

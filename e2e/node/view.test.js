// The live page and the editor in a browser: HAULM is the program, PLAN the folder of a season's plan.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { barriers, launch, layout, open, walk } from "./browser.js";

let browser;
before(async () => { browser = await launch(); });
after(() => browser.close());

/** Serves a copy of the plan while `what` runs. */
async function serve(flags, what) {
  const dir = mkdtempSync(join(tmpdir(), "haulm-view-"));
  cpSync(process.env.PLAN, dir, { recursive: true });
  const haulm = spawn(process.env.HAULM, ["view", dir, ...flags], { stdio: ["ignore", "pipe", "inherit"] });
  const ended = new Promise((done) => haulm.on("exit", (code) => done(code)));
  try {
    let said = "";
    for await (const piece of haulm.stdout) {
      said += piece;
      if (said.includes("\n")) break;
    }
    const address = said.match(/http:\S+/)[0];
    await what(dir, address, new URL(address).origin);
  } finally {
    haulm.kill("SIGINT");
    assert.equal(await ended, 0);
    rmSync(dir, { recursive: true });
  }
}

/** Writes a file as editors do: a new one in the place of the old. */
function put(file, text) {
  writeFileSync(`${file}~`, text);
  renameSync(`${file}~`, file);
}

/** Waits until a page was drawn anew since. */
async function drawn(page, act) {
  const before = await page.evaluate(() => document.documentElement.dataset.shown ?? "");
  await act();
  await page.waitForFunction((was) => (document.documentElement.dataset.shown ?? "") !== was, before);
}

test("every live page reads well, and asks nobody else", async () => {
  await serve([], async (dir, address, home) => {
    const page = await open(browser, home);
    page.on("websocket", (w) => assert.ok(w.url().startsWith(home.replace("http", "ws")), w.url()));
    for (const name of ["", "plot-3.html", "findings.html", "watering.html", "why-plot-3.html", "data.html"]) {
      await page.goto(address + name);
      for (const width of [360, 1280]) {
        await page.setViewportSize({ width, height: 900 });
        assert.deepEqual(await layout(page), [], `${name} at ${width} px`);
      }
    }
    assert.deepEqual(page.faults, []);
    await page.context().close();
    const judged = await open(browser, home, { bypassCSP: true }); // for axe, which is put into the page
    for (const name of ["plot-3.html", "findings.html"]) {
      await judged.goto(address + name);
      assert.deepEqual(await barriers(judged), [], name);
    }
    await judged.context().close();
  });
});

test("a save on disk redraws the page and keeps the place", async () => {
  await serve([], async (dir, address, home) => {
    const page = await open(browser, home);
    await page.goto(`${address}plot-3.html`);
    const link = page.locator(".cards a").last();
    await link.focus();
    const place = await page.evaluate(() => [scrollY, document.activeElement.getAttribute("href")]);
    assert.ok(place[0] > 300);
    const entry = join(dir, "farm.star");
    const text = readFileSync(entry, "utf8");
    await drawn(page, () => put(entry, text.replace('"Ferry Bank"', '"Ferry Bank East"')));
    assert.equal(await page.locator(".farmname").textContent(), "Ferry Bank East, 2027");
    assert.match(await page.title(), /Ferry Bank East/);
    assert.deepEqual(await page.evaluate(() => [scrollY, document.activeElement.getAttribute("href")]), place);
    await drawn(page, () => writeFileSync(entry, `${text}\nplot("Broken", length = 3)\n`));
    assert.match(await page.locator("#found").textContent(), /bare-number/);
    await drawn(page, () => rmSync(entry));
    assert.match(await page.locator(".trouble").textContent(), /cannot be read now/);
    await drawn(page, () => writeFileSync(entry, text));
    assert.equal(await page.locator(".trouble").count(), 0);
    assert.deepEqual(await page.evaluate(() => scrollY), place[0]);
    assert.deepEqual(page.faults, []);
    await page.context().close();
  });
});

test("Enter on a planting shows its reckoning and its line, and the keyboard comes back", async () => {
  await serve([], async (dir, address, home) => {
    const page = await open(browser, home);
    await page.goto(`${address}plot-3.html`);
    const want = await page.evaluate(() => document.querySelectorAll("a[href], [tabindex='0'], summary, button").length);
    assert.equal(await walk(page), want);
    const planting = page.locator("svg a").first();
    await planting.focus();
    await page.keyboard.press("Enter");
    await page.locator("#why h2").waitFor();
    assert.equal(await page.evaluate(() => document.activeElement.id), "why-name");
    assert.match(await page.locator("#why").textContent(), /Spacing in the line/);
    assert.match(await page.locator("#why pre").last().textContent(), /plant\(|sow\(/);
    assert.deepEqual(await layout(page), []);
    const entry = join(dir, "farm.star");
    await drawn(page, () => put(entry, `${readFileSync(entry, "utf8")}\n`));
    assert.equal(await page.locator("#why").isVisible(), true);
    await page.keyboard.press("Escape");
    assert.equal(await page.locator("#why").isVisible(), false);
    assert.ok(await planting.evaluate((e) => e === document.activeElement));
    await page.goto(`${address}index.html`);
    await page.locator("svg [data-planting]").first().dispatchEvent("click", { button: 0 });
    await page.locator("#why a").first().click();
    await page.waitForURL(/source-\d+\.html#L\d+$/);
    assert.deepEqual(page.faults, []);
    await page.context().close();
  });
});

test("typing a fault shows the finding, the map follows, and Ctrl-S writes the file", async () => {
  await serve(["--edit"], async (dir, address, home) => {
    const page = await open(browser, home);
    await page.goto(address);
    assert.ok(!page.url().includes("token"));
    const entry = join(dir, "farm.star");
    const text = readFileSync(entry, "utf8");
    await page.locator(".cm-content:focus").waitFor();
    const book = page.frameLocator("#book");
    await book.locator(".farmname").waitFor();
    await page.keyboard.press("Control+End");
    await page.keyboard.type('\nplot("New ground", length = 30');
    await page.locator(".cm-lintRange-error").first().waitFor();
    await page.keyboard.type(" * ft, width = 20)\n");
    await book.locator("#found", { hasText: "bare-number" }).waitFor();
    assert.match(await page.locator("#state").textContent(), /Not saved: farm.star/);
    assert.equal(readFileSync(entry, "utf8"), text);
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("End");
    await page.keyboard.press("ArrowLeft");
    await page.keyboard.type(" * ft");
    await book.locator("svg", { hasText: "New ground" }).first().waitFor();
    await page.locator(".cm-lintRange-error").waitFor({ state: "detached" });
    await page.keyboard.press("Control+s");
    await page.locator("#state", { hasText: "All is saved." }).waitFor();
    assert.match(readFileSync(entry, "utf8"), /plot\("New ground", length = 30 \* ft, width = 20 \* ft\)\n/);
    assert.deepEqual(page.faults, []);
    await page.context().close();
  });
});

test("what the server offers is done, and a name changes in every file", async () => {
  await serve(["--edit"], async (dir, address, home) => {
    const page = await open(browser, home);
    await page.goto(address);
    await page.locator(".cm-content:focus").waitFor();
    await page.keyboard.press("Control+End");
    await page.keyboard.type('\nplot("New ground", length = 30, width = 20 * ft)');
    await page.locator(".cm-lintRange-error").first().waitFor();
    for (let i = 0; i < 20; i++) await page.keyboard.press("ArrowLeft");
    await page.keyboard.press("Control+.");
    await page.locator(".offer button", { hasText: "30 * ft" }).first().waitFor();
    await page.locator(".offer button:focus").waitFor();
    await page.locator(".offer button", { hasText: "30 * ft" }).first().click();
    await page.locator(".cm-line", { hasText: "length = 30 * ft" }).waitFor();
    await page.keyboard.press("Control+Home");
    await page.keyboard.press("Control+f");
    await page.keyboard.type('"here"');
    await page.keyboard.press("Enter");
    await page.keyboard.press("Escape");
    await page.keyboard.press("ArrowLeft");
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("F2");
    await page.locator(".cm-lsp-rename-panel input").fill("home");
    await page.keyboard.press("Enter");
    await page.locator("#state", { hasText: "place.star" }).waitFor();
    await page.keyboard.press("Control+s");
    await page.locator("#state", { hasText: "All is saved." }).waitFor();
    assert.match(readFileSync(join(dir, "place.star"), "utf8"), /^home = site\(/m);
    assert.match(readFileSync(join(dir, "farm.star"), "utf8"), /site = home,/);
    assert.deepEqual(page.faults, []);
    await page.context().close();
  });
});

test("a change on disk is taken where nothing was typed, and said where something was", async () => {
  await serve(["--edit"], async (dir, address, home) => {
    const page = await open(browser, home);
    await page.goto(address);
    const entry = join(dir, "farm.star");
    const text = readFileSync(entry, "utf8");
    await page.locator(".cm-content:focus").waitFor();
    await page.waitForTimeout(300);
    put(entry, `# first\n${text}`);
    await page.locator(".cm-line", { hasText: "# first" }).waitFor();
    assert.match(await page.locator("#state").textContent(), /All is saved/);
    await page.keyboard.press("Control+Home");
    await page.keyboard.type("# mine\n");
    put(entry, `# second\n${text}`);
    await page.locator("#notice", { hasText: "changed on disk" }).waitFor();
    await page.keyboard.press("Control+s");
    await page.locator("#notice", { hasText: "Nothing was written" }).waitFor();
    assert.equal(readFileSync(entry, "utf8"), `# second\n${text}`);
    await page.getByRole("button", { name: "Write mine over it" }).click();
    await page.locator("#state", { hasText: "All is saved." }).waitFor();
    assert.equal(readFileSync(entry, "utf8"), `# mine\n# first\n${text}`);
    assert.deepEqual(page.faults.filter((f) => !f.includes("412")), []); // the browser notes the refusal, too
    await page.context().close();
  });
});

test("the editor is for everybody: keyboard, small windows, the dark", async () => {
  await serve(["--edit"], async (dir, address, home) => {
    const page = await open(browser, home, { bypassCSP: true });
    await page.goto(address);
    await page.locator(".cm-content:focus").waitFor();
    await page.frameLocator("#book").locator(".farmname").waitFor();
    await page.selectOption("#file", "fields/lower_bench.star");
    await page.locator(".cm-editor:not([hidden]) .hint").first().waitFor();
    for (const width of [1280, 360]) {
      await page.setViewportSize({ width, height: 800 });
      assert.ok(await page.evaluate(() => document.scrollingElement.scrollWidth <= innerWidth), `at ${width} px`);
      assert.deepEqual(await barriers(page), [], `at ${width} px`);
      const [a, b] = await page.evaluate(() => ["text", "book"].map((id) => document.getElementById(id).getBoundingClientRect().toJSON()));
      assert.ok(width === 360 ? b.top >= a.bottom : b.left >= a.right, "side by side, or one below the other");
    }
    await page.emulateMedia({ colorScheme: "dark" });
    assert.deepEqual(await barriers(page, ["color-contrast"]), []);
    // Out of the text with Tab, into the book; back to the bar above with Shift-Tab.
    await page.locator(".cm-editor:not([hidden]) .cm-content").focus();
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.id), "book");
    await page.locator(".cm-editor:not([hidden]) .cm-content").focus();
    await page.keyboard.press("Shift+Tab");
    assert.equal(await page.evaluate(() => document.activeElement.id), "keys");
    await page.keyboard.press("Enter");
    assert.equal(await page.locator("#help").isVisible(), true);
    await page.context().close();
  });
});

test("the plan's line from the book, other files, completion, hover and names", async () => {
  await serve(["--edit"], async (dir, address, home) => {
    const page = await open(browser, home);
    await page.goto(address);
    await page.locator(".cm-content:focus").waitFor();
    const book = page.frameLocator("#book");
    await book.locator("nav a", { hasText: "Plots" }).click();
    await book.locator("svg a").first().focus();
    await page.keyboard.press("Enter");
    await book.locator("#why a").first().click();
    await page.waitForFunction(() => document.getElementById("file").value !== "farm.star");
    const shown = page.locator(".cm-editor:not([hidden])");
    await shown.locator(".cm-activeLine", { hasText: /plant|sow/ }).waitFor();
    await page.selectOption("#file", "farm.star");
    await page.keyboard.press("Control+End");
    await page.keyboard.type("\nplo");
    await page.keyboard.press("Control+Space");
    await page.locator(".cm-tooltip-autocomplete li", { hasText: "plot" }).first().waitFor();
    assert.equal(await page.locator(".cm-tooltip-autocomplete li", { hasText: "complex" }).count(), 0, "Python's names are not a plan's");
    await page.keyboard.press("Escape");
    await page.keyboard.type("t(");
    await page.locator(".cm-lsp-signature-tooltip", { hasText: "length" }).waitFor();
    await page.keyboard.press("Escape");
    await page.locator(".cm-editor:not([hidden]) .cm-line span", { hasText: /^plot$/ }).last().hover();
    await page.locator(".cm-tooltip-hover", { hasText: "plot" }).waitFor();
    await page.mouse.move(0, 0);
    await page.keyboard.press("Control+Home");
    await page.keyboard.press("F1");
    await page.locator(".cm-tooltip-hover[role=status]").waitFor();
    await page.keyboard.press("Escape");
    assert.equal(await page.locator(".cm-tooltip-hover[role=status]").count(), 0);
    assert.deepEqual(page.faults, []);
    await page.context().close();
  });
});

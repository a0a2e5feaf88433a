// The pages of a field book in a browser: BOOK is the folder of a whole season's, HOSTILE of a plan whose names would
// break out.
import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";
import { barriers, launch, layout, open, walk } from "./browser.js";

let browser;
before(async () => { browser = await launch(); });
after(() => browser.close());

// Paper less its margins, in px of a page: Letter and A4, upright and turned.
const papers = { letter: [725, 965], a4: [703, 1031] };

for (const [name, dir] of [["season", process.env.BOOK], ["hostile", process.env.HOSTILE]]) {
  for (const file of readdirSync(dir).filter((f) => f.endsWith(".html")).sort()) {
    test(`${name}: ${file}`, async () => {
      const page = await open(browser, pathToFileURL(dir).href);
      await page.goto(pathToFileURL(join(dir, file)).href);
      for (const width of [360, 1280]) {
        await page.setViewportSize({ width, height: 900 });
        assert.deepEqual(await layout(page), [], `at ${width} px`);
      }
      assert.deepEqual(await barriers(page), []);
      await page.emulateMedia({ colorScheme: "dark" });
      assert.deepEqual(await barriers(page, ["color-contrast"]), [], "in the dark");
      await page.emulateMedia({ colorScheme: "light", media: "print" });
      const turned = await page.evaluate(() => document.body.classList.contains("wide"));
      for (const [paper, widths] of Object.entries(papers)) {
        await page.setViewportSize({ width: widths[turned ? 1 : 0], height: 900 });
        assert.deepEqual(await layout(page), [], `on ${paper}`);
      }
      assert.deepEqual(page.faults, []);
      await page.context().close();
    });
  }
}

test("the keyboard reaches everything", async () => {
  const dir = process.env.BOOK;
  for (const file of ["index.html", "plot-3.html", "findings.html"]) {
    const page = await open(browser, pathToFileURL(dir).href);
    await page.goto(pathToFileURL(join(dir, file)).href);
    const want = await page.evaluate(() => document.querySelectorAll("a[href], [tabindex='0'], summary").length);
    assert.equal(await walk(page), want, file);
    await page.evaluate(() => document.activeElement.blur());
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.className), "skip");
    await page.keyboard.press("Enter");
    assert.equal(await page.evaluate(() => document.activeElement.id), "main");
    await page.context().close();
  }
});

test("a planting on the map leads to its reckoning, and that to the plan's line", async () => {
  const dir = process.env.BOOK;
  const page = await open(browser, pathToFileURL(dir).href);
  await page.goto(pathToFileURL(join(dir, "plot-3.html")).href);
  await page.locator("svg a").first().focus();
  await page.keyboard.press("Enter");
  await page.waitForURL(/why-plot-3\.html#planting-/);
  await page.locator(":target ~ div a[href^='source-']").first().click();
  await page.waitForURL(/source-\d+\.html#L\d+/);
  assert.equal(await page.locator("pre :target").count(), 1);
  await page.context().close();
});

test("nothing of a plan runs", async () => {
  const dir = process.env.HOSTILE;
  for (const file of readdirSync(dir).filter((f) => f.endsWith(".html"))) {
    const page = await open(browser, pathToFileURL(dir).href);
    await page.goto(pathToFileURL(join(dir, file)).href);
    assert.equal(await page.evaluate(() => window.ran), undefined, file);
    await page.context().close();
  }
});

// A browser that nobody here wrote, and what every page is held to: nothing goes wrong in it, nothing is fetched from
// outside, no text is cut or lies over other text, all can be reached with the keyboard, and axe finds nothing serious.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Starts the browser that is installed. */
export function launch() {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
}

/** Opens a page that notes what goes wrong in it and what it asks for; `home` is where it may ask. */
export async function open(browser, home, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  const page = await context.newPage();
  const faults = [];
  page.on("console", (m) => ["error", "warning"].includes(m.type()) && faults.push(`console: ${m.text()}`));
  page.on("pageerror", (e) => faults.push(`page: ${e.message}`));
  page.on("requestfailed", (r) => faults.push(`failed: ${r.url()}`));
  page.on("request", (r) => r.url().startsWith(home) || r.url().startsWith("data:") || faults.push(`outside: ${r.url()}`));
  page.faults = faults;
  return page;
}

/** Gives what is wrong with how the page lies: texts that are cut or lie over one another. */
export function layout(page) {
  return page.evaluate(() => {
    const wrong = [];
    const say = (what, text) => wrong.length < 12 && wrong.push(`${what}: ${text.trim().slice(0, 60)}`);
    const root = document.scrollingElement;
    if (root.scrollWidth > root.clientWidth) {
      let widest = null;
      for (const e of document.querySelectorAll("body *")) {
        const right = e.getBoundingClientRect().right;
        if (right > root.clientWidth + 0.5 && !e.closest(".box, pre, .card, .scroll") && (!widest || right > widest.right)) {
          widest = { right, e };
        }
      }
      say("wider than the page", `${root.scrollWidth} > ${root.clientWidth} ${widest ? widest.e.outerHTML : ""}`);
    }
    const clip = (rect, element) => {
      let { left, top, right, bottom } = rect;
      for (let e = element; e && e !== document.body; e = e.parentElement) {
        const style = getComputedStyle(e);
        if (style.overflowX !== "visible" || style.overflowY !== "visible") {
          const box = e.getBoundingClientRect();
          if (!matchMedia("print").matches && (style.overflowX === "auto" || style.overflowX === "scroll")) {
            left = Math.max(left, box.left), right = Math.min(right, box.right);
            if (style.overflowY !== "visible") top = Math.max(top, box.top), bottom = Math.min(bottom, box.bottom);
          } else if (rect.right > box.right + 1 || rect.bottom > box.bottom + 1 || rect.left < box.left - 1) {
            say("cut", element.textContent);
          }
        }
      }
      return { left, top, right, bottom };
    };
    const rects = [];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node; (node = walk.nextNode()); ) {
      const element = node.parentElement;
      if (!node.data.trim() || element.closest("style, script, title, .skip, .sr") || !element.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      for (const r of range.getClientRects()) {
        const c = clip(r, element);
        if (c.right - c.left > 1 && c.bottom - c.top > 1) {
          if (matchMedia("print").matches && (c.right > root.clientWidth + 1 || c.left < -1)) say("off the paper", node.data);
          rects.push({ ...c, text: node.data, element });
        }
      }
    }
    // Letters are lower than their line: half of what lies over in height may be the air between lines.
    rects.sort((a, b) => a.top - b.top);
    for (let i = 0; i < rects.length; i++) {
      const a = rects[i];
      for (let j = i + 1; j < rects.length && rects[j].top < a.bottom; j++) {
        const b = rects[j];
        const over = Math.min(a.bottom, b.bottom) - b.top;
        const lower = Math.min(a.bottom - a.top, b.bottom - b.top);
        if (over > 0.45 * lower && Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1.5) {
          say("lies over", `${a.text.trim().slice(0, 28)} | ${b.text.trim().slice(0, 28)}`);
        }
      }
    }
    return wrong;
  });
}

/** Gives what axe finds that keeps people out. */
export async function barriers(page, only) {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(axe);
  const runOnly = only && { type: "rule", values: only };
  const { violations } = await page.evaluate((o) => window.axe.run(document, { resultTypes: ["violations"], ...o }), runOnly ? { runOnly } : {});
  return violations
    .filter((v) => v.impact === "serious" || v.impact === "critical")
    .map((v) => `${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" ;; ")}`);
}

/** Walks through the page with the Tab key and gives how many places the focus visits, each of which must show it. */
export async function walk(page, most = 400) {
  await page.evaluate(() => { document.activeElement?.blur?.(); window.scrollTo(0, 0); });
  const seen = new Set();
  for (let n = 0; n < most; n++) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const e = document.activeElement;
      if (!e || e === document.body) return null;
      window.places ??= new Map();
      if (!window.places.has(e)) window.places.set(e, window.places.size);
      const style = getComputedStyle(e);
      return { id: window.places.get(e), shown: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0, html: e.outerHTML.slice(0, 120) };
    });
    if (!at || seen.has(at.id)) break;
    assert.ok(at.shown, `the focus cannot be seen on ${at.html}`);
    seen.add(at.id);
  }
  return seen.size;
}

// Keeps a page of the book up with the plan, and shows how a planting was reckoned beside its map.
import { listen } from "./news.js";
import { morph } from "./morph.js";

const state = document.getElementById("live");
const why = document.getElementById("why");
const nonce = document.querySelector("style").nonce;
const says = state.textContent;
let shown = state.dataset.edition;
let wanted = shown;
let busy = false;

listen(
  ({ edition }) => {
    say(says);
    wanted = edition;
    redraw();
  },
  () => say("Not connected: haulm has ended, or is starting again. This page stays as it was."),
);

function say(words) {
  if (state.textContent !== words) state.textContent = words;
}

/** Fetches the page anew until it is the edition that was heard of last. */
async function redraw() {
  if (busy) return;
  busy = true;
  try {
    while (shown !== wanted) {
      const going = wanted;
      const answer = await fetch(location.pathname);
      if (answer.status === 404) say("This page is no longer in the book; it stays as it was.");
      if (answer.ok) {
        put(parse(await answer.text()));
        say(says);
        await refresh();
      }
      shown = going;
      document.documentElement.dataset.shown = shown;
    }
  } catch {
    // The connection broke: the news will tell when it is there again.
  } finally {
    busy = false;
  }
}

/** Reads a page; its styles get this page's nonce, the only one that counts here. */
function parse(html) {
  return new DOMParser().parseFromString(html.replace(/<style nonce="\w*">/g, `<style nonce="${nonce}">`), "text/html");
}

/** Makes this page what another text of it is, without losing the place. */
function put(page) {
  const held = document.activeElement;
  const name = nameOf(held);
  document.title = page.title;
  morph(document.body, page.body);
  if (name && (document.activeElement !== held || nameOf(held) !== name)) {
    const again = [...document.querySelectorAll("a[href], [id], [tabindex]")].find((e) => nameOf(e) === name);
    (again ?? document.getElementById("main")).focus({ preventScroll: true });
  }
}

/** What an element with the focus is known by when the page is drawn anew. */
function nameOf(e) {
  if (!e || e === document.body) return "";
  return e.id || e.getAttribute("href") || e.getAttribute("aria-label") || "";
}

let number = ""; // of the planting whose reckoning is shown
let from = null; // what had the focus before

/** Shows how a planting was reckoned. */
async function explain(planting) {
  const answer = await fetch(`/-/why?planting=${encodeURIComponent(planting)}`);
  if (!answer.ok) return;
  number = planting;
  fill(await answer.text());
  why.hidden = false;
  why.querySelector("h2").focus({ preventScroll: true });
  why.scrollIntoView({ block: "nearest" });
  mark();
}

function fill(html) {
  const page = parse(html);
  const close = document.createElement("button");
  close.type = "button";
  close.className = "close";
  close.textContent = "Close";
  close.onclick = hide;
  why.replaceChildren(...[...page.body.childNodes].map((n) => document.importNode(n, true)));
  const title = why.querySelector("h2");
  title.tabIndex = -1;
  title.after(close);
}

/** Shows the reckoning as it is now; a planting that is gone, or another by now, takes its reckoning with it. */
async function refresh() {
  if (why.hidden) return;
  const answer = await fetch(`/-/why?planting=${encodeURIComponent(number)}`);
  const text = answer.ok ? await answer.text() : "";
  const title = parse(text).querySelector("h2")?.textContent;
  if (title !== why.querySelector("h2").textContent) return hide();
  const inside = why.contains(document.activeElement);
  fill(text);
  if (inside) why.querySelector("h2").focus({ preventScroll: true });
  mark();
}

function hide() {
  const inside = why.contains(document.activeElement);
  why.hidden = true;
  why.replaceChildren();
  number = "";
  mark();
  if (inside && from?.isConnected) from.focus({ preventScroll: true });
}

/** Marks the planting on the map. */
function mark() {
  for (const e of document.querySelectorAll("[data-planting]")) e.classList.toggle("chosen", e.dataset.planting === number);
}

document.addEventListener("click", (e) => {
  if (e.button !== 0 || e.ctrlKey || e.metaKey || e.shiftKey || e.altKey) return;
  const link = e.target.closest("a[href]");
  const planting =
    e.target.closest("[data-planting]")?.dataset.planting ?? link?.querySelector("[data-planting]")?.dataset.planting ??
    link?.getAttribute("href").match(/#planting-(\d+)$/)?.[1];
  if (planting) {
    e.preventDefault();
    from = link ?? document.activeElement;
    explain(planting);
    return;
  }
  const [, page, line] = link?.getAttribute("href").match(/^(source-\d+\.html)#L(\d+)$/) ?? [];
  if (page && window.parent !== window) {
    e.preventDefault();
    window.parent.postMessage({ page, line: Number(line) }, location.origin);
  }
});

document.addEventListener("keydown", (e) => {
  if (e.key === "Escape" && !why.hidden) hide();
});

// Turns one tree of a page into another in place, so that what stays keeps its focus, its scrolling and what is
// marked in it. Elements with an id are the same wherever they stand; others by their place.

/** Makes `now` what `next`, of another document, is. Elements with data-keep stay as the script left them. */
export function morph(now, next) {
  if (now.nodeType !== next.nodeType || now.nodeName !== next.nodeName) {
    now.replaceWith(document.importNode(next, true));
    return;
  }
  if (now.nodeType !== Node.ELEMENT_NODE) {
    if (now.data !== next.data) now.data = next.data;
    return;
  }
  if (now.hasAttribute("data-keep")) return;
  attributes(now, next);
  children(now, next);
}

function attributes(now, next) {
  for (const { name } of [...now.attributes]) if (name !== "nonce" && !next.hasAttribute(name)) now.removeAttribute(name);
  for (const { name, value } of next.attributes) if (name !== "nonce" && now.getAttribute(name) !== value) now.setAttribute(name, value);
}

function children(now, next) {
  const known = new Map();
  for (const e of now.children) if (e.id) known.set(e.id, e);
  let at = now.firstChild;
  for (const want of [...next.childNodes]) {
    const same = want.id ? known.get(want.id) : at && !at.id ? at : null;
    if (!same) {
      now.insertBefore(document.importNode(want, true), at);
      continue;
    }
    if (same === at) at = at.nextSibling;
    else now.insertBefore(same, at);
    morph(same, want);
  }
  while (at) {
    const gone = at;
    at = at.nextSibling;
    gone.remove();
  }
}

// What the types cannot say of a range: that it lies in its text and parts no character in two.

/**
 * misplaced lists the ranges in a value that do not lie in the text they are about: that of the uri or targetUri beside
 * them where it is an open one, else the document's own.
 */
export function misplaced(value, document, documents) {
  if (Array.isArray(value)) return value.flatMap((v) => misplaced(v, document, documents));
  if (value === null || typeof value !== "object") return [];
  if (isRange(value)) return judge(value, document);
  const uri = value.uri ?? value.targetUri ?? value.textDocument?.uri;
  const here = uri === undefined ? document : documents(uri);
  return Object.entries(value).flatMap(([key, v]) => {
    if (key === "data") return [];
    if (key === "changes" || key === "relatedDocuments") {
      return Object.entries(v).flatMap(([at, inside]) => misplaced(inside, documents(at), documents));
    }
    if (key === "fromRanges") return misplaced(v, value.from ? documents(value.from.uri) : document, documents);
    return misplaced(v, key === "originSelectionRange" ? document : here, documents);
  });
}

function isRange(value) {
  return typeof value.start?.line === "number" && typeof value.end?.line === "number";
}

function judge(range, document) {
  if (!document) return [];
  const { start, end } = range;
  const lines = document.getText().split(/\r\n|\n|\r/);
  const found = [];
  for (const { line, character } of [start, end]) {
    const text = lines[line];
    if (text === undefined) found.push(`line ${line} is past the end of the text`);
    else if (character > text.length) found.push(`character ${character} is past the end of line ${line}`);
    else if (isInside(text, character)) found.push(`character ${character} of line ${line} is half of ${text.slice(character - 1, character + 1)}`);
  }
  if (start.line > end.line || (start.line === end.line && start.character > end.character)) {
    found.push(`the range ${JSON.stringify(range)} ends before it starts`);
  }
  return found;
}

// isInside tells whether a column lies between the two units of one character.
function isInside(text, character) {
  return character > 0 && character < text.length && /^[\uD800-\uDBFF][\uDC00-\uDFFF]$/.test(text.slice(character - 1, character + 1));
}

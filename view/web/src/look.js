// How a plan looks in the editor; the colours are those of edit.css.
import { pythonLanguage } from "@codemirror/lang-python";
import { HighlightStyle, syntaxHighlighting } from "@codemirror/language";
import { EditorView } from "@codemirror/view";
import { tags } from "@lezer/highlight";

const words = HighlightStyle.define([
  { tag: [tags.keyword, tags.controlKeyword, tags.operatorKeyword, tags.definitionKeyword, tags.bool], color: "var(--word)", fontWeight: "bold" },
  { tag: [tags.string, tags.special(tags.string)], color: "var(--text)" },
  { tag: [tags.number], color: "var(--number)" },
  { tag: [tags.comment, tags.lineComment], color: "var(--pale)", fontStyle: "italic" },
  { tag: [tags.function(tags.variableName), tags.function(tags.propertyName)], color: "var(--call)" },
]);

const theme = EditorView.theme({
  "&": { height: "100%", backgroundColor: "var(--paper)", color: "var(--ink)" },
  "&.cm-focused": { outline: "3px solid var(--focus)", outlineOffset: "-3px" },
  ".cm-scroller": { fontFamily: '"DejaVu Sans Mono", Consolas, monospace', fontSize: "15px", lineHeight: "1.5" },
  ".cm-content": { caretColor: "var(--ink)" },
  ".cm-cursor": { borderLeftColor: "var(--ink)" },
  ".cm-gutters": { backgroundColor: "var(--soft)", color: "var(--pale)", borderRight: "1px solid var(--line)" },
  ".cm-activeLine, .cm-activeLineGutter": { backgroundColor: "var(--line-here)" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": { backgroundColor: "var(--chosen)" },
  ".cm-tooltip, .cm-panels": { backgroundColor: "var(--soft)", color: "var(--ink)", border: "1px solid var(--line)" },
  ".cm-tooltip": { maxWidth: "min(36rem, 92vw)" },
  ".cm-tooltip-hover": { maxHeight: "18rem", overflowY: "auto" },
  ".cm-tooltip-autocomplete ul li[aria-selected]": { backgroundColor: "var(--link)", color: "var(--paper)" },
  ".offer": { display: "flex", flexDirection: "column", alignItems: "stretch", padding: ".3rem" },
  ".offer button": { textAlign: "left", margin: "1px 0" },
  ".cm-diagnostic": { whiteSpace: "pre-wrap", overflowWrap: "anywhere" },
  ".hint": { color: "var(--pale)", backgroundColor: "var(--soft)", fontSize: "85%", borderRadius: "3px", padding: "0 .3em" },
  ".hint.before": { marginLeft: ".5em" },
});

/** Everything that a plan's look needs. */
export const look = [pythonLanguage, syntaxHighlighting(words), theme];

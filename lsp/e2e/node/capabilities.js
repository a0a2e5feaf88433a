// What an editor of today can do, as far as the server may ask.

/** capabilities gives what a client claims, with changes merged in. */
export function capabilities(changes) {
  return merge(structuredClone(usual), changes);
}

function merge(into, changes) {
  for (const [key, value] of Object.entries(changes)) {
    if (value === undefined) delete into[key];
    else if (isPlain(value) && isPlain(into[key])) merge(into[key], value);
    else into[key] = value;
  }
  return into;
}

function isPlain(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

const kinds = (n) => Array.from({ length: n }, (_, i) => i + 1);

const usual = {
  general: { positionEncodings: ["utf-16"] },
  window: { workDoneProgress: true },
  workspace: {
    applyEdit: true,
    workspaceFolders: true,
    configuration: true,
    workspaceEdit: { documentChanges: true },
    didChangeConfiguration: { dynamicRegistration: true },
    didChangeWatchedFiles: { dynamicRegistration: true },
    symbol: { symbolKind: { valueSet: kinds(26) } },
    inlayHint: { refreshSupport: true },
    codeLens: { refreshSupport: true },
    semanticTokens: { refreshSupport: true },
    diagnostics: { refreshSupport: true },
  },
  textDocument: {
    synchronization: { didSave: true },
    publishDiagnostics: {
      relatedInformation: true,
      versionSupport: true,
      codeDescriptionSupport: true,
      dataSupport: true,
      tagSupport: { valueSet: [1, 2] },
    },
    completion: {
      contextSupport: true,
      completionItem: {
        snippetSupport: true,
        commitCharactersSupport: true,
        documentationFormat: ["markdown", "plaintext"],
        deprecatedSupport: true,
        preselectSupport: true,
        insertReplaceSupport: true,
        labelDetailsSupport: true,
        tagSupport: { valueSet: [1] },
        resolveSupport: { properties: ["documentation", "detail", "additionalTextEdits"] },
      },
      completionItemKind: { valueSet: kinds(25) },
      completionList: { itemDefaults: ["editRange", "insertTextFormat", "insertTextMode"] },
    },
    hover: { contentFormat: ["markdown", "plaintext"] },
    signatureHelp: {
      contextSupport: true,
      signatureInformation: {
        documentationFormat: ["markdown", "plaintext"],
        parameterInformation: { labelOffsetSupport: true },
        activeParameterSupport: true,
      },
    },
    declaration: { linkSupport: true },
    definition: { linkSupport: true },
    typeDefinition: { linkSupport: true },
    references: {},
    documentHighlight: {},
    documentSymbol: { hierarchicalDocumentSymbolSupport: true, symbolKind: { valueSet: kinds(26) } },
    codeAction: {
      isPreferredSupport: true,
      disabledSupport: true,
      dataSupport: true,
      resolveSupport: { properties: ["edit"] },
      codeActionLiteralSupport: {
        codeActionKind: { valueSet: ["", "quickfix", "refactor", "refactor.extract", "refactor.rewrite", "source", "source.fixAll"] },
      },
    },
    codeLens: {},
    formatting: {},
    rangeFormatting: {},
    onTypeFormatting: {},
    rename: { prepareSupport: true, prepareSupportDefaultBehavior: 1, honorsChangeAnnotations: false },
    documentLink: { tooltipSupport: true },
    foldingRange: { lineFoldingOnly: false, foldingRange: { collapsedText: true } },
    selectionRange: {},
    linkedEditingRange: {},
    callHierarchy: {},
    semanticTokens: {
      requests: { range: true, full: { delta: true } },
      tokenTypes: [
        "namespace", "type", "class", "enum", "interface", "struct", "typeParameter", "parameter", "variable", "property",
        "enumMember", "event", "function", "method", "macro", "keyword", "modifier", "comment", "string", "number",
        "regexp", "operator", "decorator",
      ],
      tokenModifiers: [
        "declaration", "definition", "readonly", "static", "deprecated", "abstract", "async", "modification",
        "documentation", "defaultLibrary",
      ],
      formats: ["relative"],
      overlappingTokenSupport: false,
      multilineTokenSupport: false,
    },
    inlayHint: { resolveSupport: { properties: ["tooltip"] } },
  },
};

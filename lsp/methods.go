package lsp

// methodList is the one table of what the server serves, in the order of the specification.
func methodList() []method {
	return []method{
		initialize(), initialized(), shutdown(), exit(), cancelRequest(), setTrace(),
		didOpen(), didChange(), didSave(), didClose(),
		documentDiagnostic(), workspaceDiagnostic(),
		completion(), completionResolve(), hover(), signatureHelp(),
		declaration(), definition(), typeDefinition(), references(), documentHighlight(),
		prepareRename(), rename(), linkedEditingRange(),
		documentSymbol(), workspaceSymbol(),
		formatting(), rangeFormatting(), onTypeFormatting(),
		codeAction(), codeLens(), inlayHint(), inlayHintResolve(),
		semanticTokens(), semanticTokensDelta(), semanticTokensRange(),
		foldingRange(), selectionRange(), documentLink(),
		prepareCallHierarchy(), incomingCalls(), outgoingCalls(),
		didChangeConfiguration(), didChangeWorkspaceFolders(), didChangeWatchedFiles(),
	}
}

func methodTable() map[string]*method {
	table := map[string]*method{}
	for _, m := range methodList() {
		table[m.name] = &m
	}
	return table
}

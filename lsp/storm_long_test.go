//go:build e2e

package lsp

const stormEdits = 20_000

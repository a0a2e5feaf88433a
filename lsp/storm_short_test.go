//go:build !e2e

package lsp

// stormEdits are fewer than in the thorough tests, which have the tag e2e.
const stormEdits = 1_500

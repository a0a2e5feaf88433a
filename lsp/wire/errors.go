package wire

// Error codes of the protocol that jsonrpc2 does not name.
const (
	CodeNotInitialized   = -32002
	CodeRequestFailed    = -32803
	CodeServerCancelled  = -32802
	CodeContentModified  = -32801
	CodeRequestCancelled = -32800
)

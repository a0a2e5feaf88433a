package lsp

import protocol "github.com/tliron/glsp/protocol_3_16"

const (
	logError   = protocol.MessageTypeError
	logWarning = protocol.MessageTypeWarning
	logPlain   = protocol.MessageTypeLog
)

// log writes a line into the client's log.
func (s *server) log(kind protocol.MessageType, text string) {
	s.notify("window/logMessage", protocol.LogMessageParams{Type: kind, Message: text})
}

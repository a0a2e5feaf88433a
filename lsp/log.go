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

// logLater does the same for those who read messages: a client that reads nothing while it sends must not
// stop them.
func (s *server) logLater(kind protocol.MessageType, text string) {
	s.spawn("log", func() { s.log(kind, text) })
}

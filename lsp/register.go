package lsp

import (
	"encoding/json"

	protocol "github.com/tliron/glsp/protocol_3_16"
)

// register asks the client to tell of files that change on disk and of new settings, where it takes such
// wishes.
func (s *server) register() {
	s.mu.Lock()
	can := s.client.Workspace
	s.mu.Unlock()
	var list []protocol.Registration
	if can.DidChangeWatchedFiles.DynamicRegistration {
		list = append(list, protocol.Registration{
			ID: "watched-files", Method: "workspace/didChangeWatchedFiles",
			RegisterOptions: protocol.DidChangeWatchedFilesRegistrationOptions{
				Watchers: []protocol.FileSystemWatcher{{GlobPattern: "**/*.star"}, {GlobPattern: "**/*.csv"}}, // plans, weather
			},
		})
	}
	if can.DidChangeConfiguration.DynamicRegistration {
		list = append(list, protocol.Registration{
			ID: "configuration", Method: "workspace/didChangeConfiguration",
			RegisterOptions: map[string]string{"section": "haulm"},
		})
	}
	if len(list) == 0 {
		return
	}
	if err := s.call("client/registerCapability", protocol.RegistrationParams{Registrations: list}, nil); err != nil {
		s.log(logWarning, "the editor does not tell of changed files: "+err.Error())
	}
}

// askSettings fetches the settings from a client that would rather be asked.
func (s *server) askSettings() {
	section := "haulm"
	var answer []json.RawMessage
	params := protocol.ConfigurationParams{Items: []protocol.ConfigurationItem{{Section: &section}}}
	if err := s.call("workspace/configuration", params, &answer); err != nil || len(answer) != 1 {
		return // what it was started with stays
	}
	if string(answer[0]) != "null" {
		s.configure(answer[0])
	}
}

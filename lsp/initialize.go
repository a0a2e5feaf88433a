package lsp

import (
	"context"
	"encoding/json"
	"path/filepath"
	"slices"

	"github.com/sourcegraph/jsonrpc2"

	"haulm/lsp/wire"
)

func initialize() method {
	m := request("initialize", "client and server say what they can; UTF-8 columns where the client offers them, else UTF-16",
		func(s *server, p *wire.InitializeParams) (task, error) {
			set, problems := readSettings(p.Options)
			s.mu.Lock()
			defer s.mu.Unlock()
			if s.phase != fresh {
				return task{}, fail(jsonrpc2.CodeInvalidRequest, "the server is initialized already")
			}
			s.phase = serving
			s.client = p.Capabilities
			s.encoding = wire.Agree(p.Capabilities.General.PositionEncodings)
			s.settings = set
			s.folders = foldersOf(p)
			result := wire.InitializeResult{
				Capabilities: s.capabilities(),
				ServerInfo:   wire.ServerInfo{Name: "haulm", Version: s.config.Version},
			}
			return task{inline: true, work: func(context.Context) (any, error) {
				for _, text := range problems {
					s.log(logWarning, text)
				}
				return result, nil
			}}, nil
		})
	m.early = true
	return m
}

// capabilities are what the methods announce of themselves. The caller holds mu.
func (s *server) capabilities() wire.ServerCapabilities {
	c := wire.ServerCapabilities{PositionEncoding: s.encoding}
	for _, m := range methodList() {
		if m.announce != nil {
			m.announce(&c)
		}
	}
	return c
}

// foldersOf lists the folders of the workspace that the client opens.
func foldersOf(p *wire.InitializeParams) []string {
	var folders []string
	add := func(uri string) {
		if dir, ok := pathOf(uri); ok && !slices.Contains(folders, dir) {
			folders = append(folders, dir)
		}
	}
	for _, f := range p.WorkspaceFolders {
		add(f.URI)
	}
	if p.WorkspaceFolders == nil && p.RootURI != nil {
		add(*p.RootURI)
	} else if p.WorkspaceFolders == nil && p.RootPath != nil && filepath.IsAbs(*p.RootPath) {
		folders = append(folders, filepath.Clean(*p.RootPath))
	}
	return folders
}

func initialized() method {
	return notification("initialized", "the server looks for plans in the workspace and asks for its settings",
		func(s *server, _ *json.RawMessage) error {
			s.mu.Lock()
			defer s.mu.Unlock()
			for _, folder := range s.folders {
				s.scan(folder)
			}
			s.spawn("registration", s.register)
			if s.client.Workspace.Configuration {
				s.spawn("settings", s.askSettings)
			}
			return nil
		})
}

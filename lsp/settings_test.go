package lsp

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestReadSettings(t *testing.T) {
	all := defaultSettings().hints
	off := func(name string) map[string]bool {
		m := defaultSettings().hints
		m[name] = false
		return m
	}
	for _, c := range []struct {
		name, text string
		hints      map[string]bool
		problems   []string
	}{
		{"nothing", ``, all, nil},
		{"null", `null`, all, nil},
		{"empty", `{}`, all, nil},
		{"one off", `{"inlayHints": {"dates": false, "flow": true}}`, off("dates"), nil},
		{"by the server's name", `{"haulm": {"inlayHints": {"counts": false}}}`, off("counts"), nil},
		{"other people's", `{"editor": {"tabSize": 4}}`, all, nil},
		{"no such kind", `{"inlayHints": {"color": false}}`, all, []string{`there is no inlay hint called "color"; there are counts, feetLeft, dates, flow, need, food`}},
		{"no switch", `{"inlayHints": {"counts": "no", "need": false}}`, off("need"), []string{"inlayHints.counts is true or false"}},
		{"no object", `[1]`, all, []string{`settings are an object such as {"inlayHints": {"counts": false}}`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, problems := readSettings(json.RawMessage(c.text))
			require.Equal(t, c.hints, s.hints)
			require.Equal(t, c.problems, problems)
		})
	}
}

func hintsOf(e *editor) map[string]bool {
	e.server.mu.Lock()
	defer e.server.mu.Unlock()
	return e.server.settings.hints
}

// Settings come with initialize, with a notification, or when the server asks for them.
func TestSettings(t *testing.T) {
	t.Run("told", func(t *testing.T) {
		e := newEditor(t, Config{})
		e.ask("initialize", map[string]any{
			"processId": nil, "rootUri": nil, "capabilities": map[string]any{},
			"initializationOptions": map[string]any{"inlayHints": map[string]any{"counts": false, "colour": 1}},
		}, nil)
		e.logged(`there is no inlay hint called "colour"`)
		require.False(t, hintsOf(e)["counts"])
		e.tell("workspace/didChangeConfiguration", map[string]any{"settings": map[string]any{"haulm": map[string]any{"inlayHints": map[string]any{"need": false}}}})
		settle(e)
		require.True(t, hintsOf(e)["counts"])
		require.False(t, hintsOf(e)["need"])
		require.NoError(t, e.leave())
	})
	t.Run("asked for", func(t *testing.T) {
		e := newEditor(t, Config{})
		e.settings = map[string]any{"inlayHints": map[string]any{"flow": false}}
		e.greet(`{"workspace":{"configuration":true,"didChangeConfiguration":{"dynamicRegistration":true},"inlayHint":{"refreshSupport":true}}}`)
		asked := func(n int) {
			t.Helper()
			e.until("a wish for new hints", func() bool {
				seen := 0
				for _, m := range e.asked {
					if m.Method == refreshHints {
						seen++
					}
				}
				return seen == n
			})
		}
		asked(1)
		require.False(t, hintsOf(e)["flow"])
		e.mu.Lock()
		e.settings = nil // nothing set any more: what held stays
		e.mu.Unlock()
		e.tell("workspace/didChangeConfiguration", map[string]any{"settings": nil})
		e.mu.Lock()
		e.settings = map[string]any{}
		e.mu.Unlock()
		e.tell("workspace/didChangeConfiguration", map[string]any{"settings": nil})
		asked(2)
		require.True(t, hintsOf(e)["flow"])
		require.NoError(t, e.leave())
	})
}

package view

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"strconv"
	"sync"

	"github.com/coder/websocket"

	"haulm/lang/plan"
	"haulm/lang/syntax"
	"haulm/lsp"
)

// language lets an editor talk with a language server of its own, one message of the protocol in each of the
// WebSocket's. What that server works out, unsaved texts and all, is what the pages show as long as it lasts.
func (s *server) language(w http.ResponseWriter, r *http.Request) {
	c, err := websocket.Accept(w, r, nil) // which has answered, when it fails
	if err != nil {
		return
	}
	s.talks.Add(1)
	defer s.talks.Done()
	defer c.CloseNow()
	c.SetReadLimit(8 * syntax.MaxFileSize) // every letter of a text may be escaped
	defer s.live.edited()()
	entry := filepath.Join(s.Root, filepath.FromSlash(s.Entry))
	err = lsp.Serve(s.ctx, &talk{ctx: s.ctx, conn: c}, lsp.Config{
		Version: s.Version, Root: s.Root, Errors: s.Errors,
		Worked: func(file string, snap *plan.Snapshot) {
			if file == entry {
				s.live.show(snap)
			}
		},
	})
	if err != nil && !errors.Is(err, lsp.ErrNoShutdown) { // a tab that closes says nothing
		fmt.Fprintf(s.Errors, "haulm: the editor's language server: %s\n", err)
	}
}

// talk turns the messages of a WebSocket into the stream that a language server reads, header and body, and back.
type talk struct {
	ctx  context.Context
	conn *websocket.Conn
	in   bytes.Buffer // read and not yet taken

	mu  sync.Mutex
	out frames
}

func (t *talk) Read(p []byte) (int, error) {
	for t.in.Len() == 0 {
		_, message, err := t.conn.Read(t.ctx)
		if err != nil {
			return 0, io.EOF // however a tab goes, there is nobody to tell
		}
		fmt.Fprintf(&t.in, "Content-Length: %d\r\n\r\n", len(message))
		t.in.Write(message)
	}
	return t.in.Read(p)
}

func (t *talk) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	messages, err := t.out.add(p)
	for _, m := range messages {
		if err := t.conn.Write(t.ctx, websocket.MessageText, m); err != nil {
			return 0, err
		}
	}
	if err != nil {
		return 0, err
	}
	return len(p), nil
}

// Close ends the conversation.
func (t *talk) Close() error { return t.conn.CloseNow() }

// frames is what was written of a stream and is not yet a whole message.
type frames struct{ rest []byte }

// add takes the next piece of a stream and gives the messages that it makes whole.
func (f *frames) add(piece []byte) (messages [][]byte, err error) {
	f.rest = append(f.rest, piece...)
	for {
		head, body, whole := bytes.Cut(f.rest, []byte("\r\n\r\n"))
		if !whole {
			return messages, nil
		}
		digits, ok := bytes.CutPrefix(head, []byte("Content-Length: "))
		length, err := strconv.ParseUint(string(digits), 10, 31)
		if !ok || err != nil {
			return messages, fmt.Errorf("%q does not say how long a message is", head)
		}
		if uint64(len(body)) < length {
			return messages, nil
		}
		messages = append(messages, bytes.Clone(body[:length]))
		f.rest = body[length:]
	}
}

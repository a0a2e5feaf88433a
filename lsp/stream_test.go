package lsp

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"strings"
	"testing"

	"github.com/sourcegraph/jsonrpc2"
	"github.com/stretchr/testify/require"

	"haulm/lsp/wire"
)

// duplex reads from one side and keeps what is written.
type duplex struct {
	io.Reader
	bytes.Buffer
}

func (d *duplex) Read(p []byte) (int, error) { return d.Reader.Read(p) }
func (d *duplex) Close() error               { return nil }

func framed(bodies ...string) string {
	var b strings.Builder
	for _, body := range bodies {
		fmt.Fprintf(&b, "Content-Length: %d\r\n\r\n%s", len(body), body)
	}
	return b.String()
}

// readAll gives the methods read from a text, what was answered to it, and how reading ended.
func readAll(text string) (methods []string, answers string, err error) {
	d := &duplex{Reader: strings.NewReader(text)}
	s := newStream(d)
	for {
		var req jsonrpc2.Request
		if err := s.ReadObject(&req); err != nil {
			_ = s.Close()
			return methods, d.String(), err
		}
		methods = append(methods, req.Method)
	}
}

const good = `{"jsonrpc":"2.0","method":"good"}`

func TestStreamAnswersWhatIsNoMessage(t *testing.T) {
	for _, c := range []struct{ name, body, want string }{
		{"not JSON", `{"jsonrpc":`, `"id":null,"error":{"code":-32700,`},
		{"nothing", ``, `"id":null,"error":{"code":-32700,`},
		{"not UTF-8 and not JSON", "\xff\xfe", `"id":null,"error":{"code":-32700,`},
		{"several", `[` + good + `]`, `"id":null,"error":{"code":-32600,"message":"several messages in one are not served`},
		{"a number", `7`, `"id":null,"error":{"code":-32600,`},
		{"a fraction as id", `{"id":1.5,"method":"m"}`, `"id":1.5,"error":{"code":-32600,`},
		{"a negative id", `{"id":-1,"method":"m"}`, `"id":-1,"error":{"code":-32600,`},
		{"null as id", `{"id":null,"method":"m"}`, `"id":null,"error":{"code":-32600,`},
		{"an id past all numbers", `{"id":99999999999999999999,"method":"m"}`, `"id":99999999999999999999,"error":{"code":-32600,`},
		{"a number as method", `{"id":3,"method":4}`, `"id":3,"error":{"code":-32600,`},
		{"no method", `{"id":3}`, `"id":3,"error":{"code":-32600,`},
	} {
		t.Run(c.name, func(t *testing.T) {
			methods, answers, err := readAll(framed(c.body, good))
			require.ErrorIs(t, err, io.EOF)
			require.Equal(t, []string{"good"}, methods, "the next message is read")
			require.Contains(t, answers, c.want)
			require.Equal(t, 1, strings.Count(answers, "Content-Length"))
		})
	}
}

func TestStreamHeaders(t *testing.T) {
	for _, c := range []struct{ name, text, err string }{
		{"as specified", framed(good), "EOF"},
		{"a type, too", "Content-Type: application/vscode-jsonrpc; charset=utf-8\r\n" + framed(good), "EOF"},
		{"other case, lone line feeds", fmt.Sprintf("content-length:%d\n\n%s", len(good), good), "EOF"},
		{"cut in the header", framed(good) + "Content-Le", "unexpected EOF"},
		{"cut in the body", framed(good) + "Content-Length: 10\r\n\r\n{", "unexpected EOF"},
		{"no length", framed(good) + "Content-Type: x\r\n\r\n{}", "a message has no Content-Length"},
		{"a request of the web", framed(good) + "POST / HTTP/1.1\r\nContent-Length: 2\r\n\r\n{}", `"POST / HTTP/1.1" is no header line`},
		{"too long to be true", framed(good) + "Content-Length: 9999999999\r\n\r\n", "a message of 9999999999 bytes cannot be read; the most is 268435456"},
		{"not a number", framed(good) + "Content-Length: ten\r\n\r\n", "a message of ten bytes cannot be read; the most is 268435456"},
		{"headers without end", framed(good) + strings.Repeat("A: b\r\n", 100), "a message has more than 64 header lines"},
	} {
		t.Run(c.name, func(t *testing.T) {
			methods, answers, err := readAll(c.text)
			require.Equal(t, []string{"good"}, methods)
			require.Empty(t, answers)
			require.EqualError(t, err, c.err)
		})
	}
	_, _, err := readAll(strings.Repeat("x", 1<<17))
	require.Error(t, err, "a header line without end")
}

// A length promised and never sent costs no memory.
func TestStreamAllocatesWhatComes(t *testing.T) {
	_, _, err := readAll(fmt.Sprintf("Content-Length: %d\r\n\r\n{", maxMessage))
	require.ErrorIs(t, err, io.ErrUnexpectedEOF)
}

func FuzzStream(f *testing.F) {
	for _, seed := range []string{
		framed(good), framed(`{`, `[]`, `{"id":1.5,"method":"x"}`, good), "Content-Length: 3\n\n{}\n", "POST / HTTP/1.1\r\n\r\n", "Content-Length: -1\r\n\r\n",
		framed(`{"id":"a","result":null}`), framed("\xff"),
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		_, answers, err := readAll(text)
		require.Error(t, err)
		// Whatever came, what goes out is whole messages.
		d := &duplex{Reader: strings.NewReader(answers)}
		s := newStream(d)
		defer s.Close()
		for {
			body, err := s.frame()
			if err != nil {
				require.ErrorIs(t, err, io.EOF)
				return
			}
			require.True(t, json.Valid(body))
		}
	})
}

// A client that sends and sends and reads nothing is read all the same, and gets every answer once it reads.
func TestNobodyWaitsForTheReader(t *testing.T) {
	here, there := net.Pipe()
	s := newServer(context.Background(), Config{})
	ended := make(chan error, 1)
	go func() { ended <- s.serve(there) }()
	const many = 500
	for range many {
		_, err := io.WriteString(here, framed("{", `{"jsonrpc":"2.0","id":1,"method":"no/such"}`, `{"jsonrpc":"2.0","method":"no/such"}`))
		require.NoError(t, err)
	}
	in := bufio.NewReader(here)
	codes := map[int]int{}
	for range 2 * many {
		m, err := readMessage(in)
		require.NoError(t, err)
		codes[m.Error.Code]++
	}
	require.Equal(t, map[int]int{jsonrpc2.CodeParseError: many, wire.CodeNotInitialized: many}, codes)
	require.NoError(t, here.Close())
	require.ErrorIs(t, <-ended, ErrNoShutdown)
}

// brokenPipe takes nothing.
type brokenPipe struct{ io.Reader }

func (brokenPipe) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }
func (brokenPipe) Close() error              { return nil }

func TestNothingIsKeptForABrokenPipe(t *testing.T) {
	s := newStream(brokenPipe{strings.NewReader("")})
	require.NoError(t, s.WriteObject(1))
	<-s.written
	require.Error(t, s.WriteObject(2))
	require.NoError(t, s.Close())
}

package lsp

import (
	"bufio"
	"context"
	"io"
	"net"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLoopbackOnly(t *testing.T) {
	for given, want := range map[string]string{
		"7070": "127.0.0.1:7070", ":7070": "127.0.0.1:7070", "localhost:0": "127.0.0.1:0", "127.0.0.1:1": "127.0.0.1:1",
		"127.1.2.3:1": "127.1.2.3:1", "[::1]:7070": "[::1]:7070",
	} {
		got, err := loopback(given)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	for given, want := range map[string]string{
		"0.0.0.0:7070":     "0.0.0.0 could be reached from other machines; listen on 127.0.0.1 or ::1",
		"[::]:7070":        ":: could be reached from other machines; listen on 127.0.0.1 or ::1",
		"192.168.1.4:7070": "192.168.1.4 could be reached from other machines; listen on 127.0.0.1 or ::1",
		"farm.example:80":  "farm.example could be reached from other machines; listen on 127.0.0.1 or ::1",
		"::1":              "::1 is no address to listen on; say for example 127.0.0.1:7070, or 7070 alone",
	} {
		_, err := loopback(given)
		require.EqualError(t, err, want)
	}
	require.ErrorContains(t, Listen(context.Background(), "0.0.0.0:0", Config{}, nil), "other machines")
	require.ErrorContains(t, Listen(context.Background(), "127.0.0.1:99999", Config{}, nil), "cannot listen on 127.0.0.1:99999")
}

// Two clients at a time; one that speaks another protocol is put out.
func TestListen(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	where, ended := make(chan net.Addr, 1), make(chan error, 1)
	go func() { ended <- Listen(ctx, "0", Config{}, func(a net.Addr) { where <- a }) }()
	addr := (<-where).String()
	dial := func(say string) *bufio.Reader {
		c, err := net.Dial("tcp", addr)
		require.NoError(t, err)
		t.Cleanup(func() { c.Close() })
		_, err = io.WriteString(c, say)
		require.NoError(t, err)
		return bufio.NewReader(c)
	}
	hello := framed(`{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"capabilities":{}}}`)
	first, second := dial(hello), dial(hello)
	for _, in := range []*bufio.Reader{first, second} {
		m, err := readMessage(in)
		require.NoError(t, err)
		require.Equal(t, "1", string(m.ID))
	}
	_, err := io.ReadAll(dial("POST / HTTP/1.1\r\nHost: localhost\r\n\r\n" + hello))
	_ = err // closed or reset, but not answered
	stop()
	require.NoError(t, <-ended)
}

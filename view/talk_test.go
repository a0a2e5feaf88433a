package view

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// However a stream is cut into pieces, its messages come out of it whole and in their order.
func TestFrames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOf(rapid.SliceOfN(rapid.Byte(), 0, 40)).Draw(t, "messages")
		var stream []byte
		for _, m := range want {
			stream = append(fmt.Appendf(stream, "Content-Length: %d\r\n\r\n", len(m)), m...)
		}
		var f frames
		var got [][]byte
		for len(stream) > 0 {
			n := rapid.IntRange(1, len(stream)).Draw(t, "piece")
			messages, err := f.add(stream[:n])
			require.NoError(t, err)
			got = append(got, messages...)
			stream = stream[n:]
		}
		require.Len(t, got, len(want))
		for i := range want {
			require.True(t, bytes.Equal(want[i], got[i]))
		}
		require.Empty(t, f.rest)
	})
}

// Whatever is written, nothing is made up: what comes out was written, and a header that says nothing is an error.
func FuzzFrames(f *testing.F) {
	f.Add([]byte("Content-Length: 2\r\n\r\n{}"))
	f.Add([]byte("Content-Length: 99999999999\r\n\r\n"))
	f.Add([]byte("Content-Length: -1\r\n\r\n{}"))
	f.Add([]byte("\r\n\r\n"))
	f.Fuzz(func(t *testing.T, stream []byte) {
		var f frames
		messages, err := f.add(stream)
		total := 0
		for _, m := range messages {
			total += len(m)
			require.True(t, bytes.Contains(stream, m))
		}
		require.LessOrEqual(t, total, len(stream))
		if err != nil {
			require.Contains(t, err.Error(), "how long")
		}
	})
}

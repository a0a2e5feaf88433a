package lsp

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/sourcegraph/jsonrpc2"
)

// stream frames messages as the protocol has them: header lines, an empty line, and as many bytes of JSON as
// Content-Length says. Unlike jsonrpc2's own codec it answers a message that is no JSON, or no message,
// and reads on: only a header that cannot be read ends the connection, for nobody knows where the next
// message would begin.
//
// What is written waits in a queue until the other side takes it, so that nobody who answers, least of all
// the reader of messages, waits for a client that is itself waiting to be read.
type stream struct {
	in  *bufio.Reader
	out io.ReadWriteCloser

	mu      sync.Mutex
	queue   [][]byte
	queued  int           // bytes
	closed  bool          // nothing more is taken
	waiting chan struct{} // holds one when there is something for the writer to look at
	written chan struct{} // closed when the writer has ended
}

var _ jsonrpc2.ObjectStream = (*stream)(nil)

const (
	maxMessage = 256 << 20 // bytes; a file of the most that a plan may have, every byte of it escaped, is less
	maxHeader  = 64        // lines
	maxQueued  = 256 << 20 // bytes; a client that leaves so much unread is not there any more
)

func newStream(rw io.ReadWriteCloser) *stream {
	s := &stream{in: bufio.NewReaderSize(rw, 1<<16), out: rw, waiting: make(chan struct{}, 1), written: make(chan struct{})}
	go s.write()
	return s
}

// ReadObject reads the next message that is one into v.
func (s *stream) ReadObject(v any) error {
	for {
		body, err := s.frame()
		if err != nil {
			return err
		}
		problem := inspect(body)
		if problem == nil {
			if err := json.Unmarshal(body, v); err == nil {
				return nil
			}
			problem = &refusal{Code: jsonrpc2.CodeInvalidRequest, Message: "this is not a message of JSON-RPC 2.0"}
		}
		if err := s.refuse(body, problem); err != nil {
			return err
		}
	}
}

// frame reads the header and body of one message.
func (s *stream) frame() ([]byte, error) {
	length := -1
	for range maxHeader {
		line, err := s.in.ReadSlice('\n')
		if err != nil {
			if errors.Is(err, io.EOF) && len(line) > 0 {
				err = io.ErrUnexpectedEOF
			}
			return nil, err
		}
		header := strings.TrimRight(string(line), "\r\n")
		if header == "" {
			return s.body(length)
		}
		name, value, ok := strings.Cut(header, ":")
		if !ok {
			return nil, fmt.Errorf("%q is no header line", header)
		}
		if strings.EqualFold(name, "Content-Length") {
			n, err := strconv.ParseUint(strings.TrimSpace(value), 10, 32)
			if err != nil || n > maxMessage {
				return nil, fmt.Errorf("a message of %s bytes cannot be read; the most is %d", strings.TrimSpace(value), maxMessage)
			}
			length = int(n)
		}
	}
	return nil, fmt.Errorf("a message has more than %d header lines", maxHeader)
}

func (s *stream) body(length int) ([]byte, error) {
	if length < 0 {
		return nil, errors.New("a message has no Content-Length")
	}
	body, err := io.ReadAll(io.LimitReader(s.in, int64(length))) // grows with what comes, whatever was promised
	if err == nil && len(body) < length {
		err = io.ErrUnexpectedEOF
	}
	return body, err
}

// refusal is an error answered to a message that never reaches a method.
type refusal struct {
	Code    int    `json:"code"`
	Message string `json:"message"`
}

// inspect tells what keeps a body from being a message.
func inspect(body []byte) *refusal {
	if !json.Valid(body) {
		return &refusal{jsonrpc2.CodeParseError, "this is not JSON"}
	}
	var m struct{ ID, Method json.RawMessage }
	switch err := json.Unmarshal(body, &m); {
	case err != nil && bytes.HasPrefix(bytes.TrimSpace(body), []byte("[")):
		return &refusal{jsonrpc2.CodeInvalidRequest, "several messages in one are not served; send them one by one"}
	case err != nil:
		return &refusal{jsonrpc2.CodeInvalidRequest, "a message is a JSON object"}
	case m.Method != nil && m.ID != nil && !isID(m.ID):
		return &refusal{jsonrpc2.CodeInvalidRequest, "the id of a request is a whole number from 0 or a text"}
	}
	return nil
}

// isID tells whether an id is one that jsonrpc2 gives back as it came.
func isID(id json.RawMessage) bool {
	if id[0] == '"' {
		return true
	}
	_, err := strconv.ParseInt(string(id), 10, 64)
	return err == nil && id[0] != '-'
}

// refuse answers a message that cannot be served, with its id where it has one.
func (s *stream) refuse(body []byte, r *refusal) error {
	var m struct{ ID, Method json.RawMessage }
	if json.Unmarshal(body, &m) != nil || m.ID == nil {
		m.ID = json.RawMessage("null")
	}
	return s.WriteObject(struct {
		Version string          `json:"jsonrpc"`
		ID      json.RawMessage `json:"id"`
		Error   *refusal        `json:"error"`
	}{"2.0", m.ID, r})
}

// WriteObject takes one message for writing.
func (s *stream) WriteObject(v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.queued > maxQueued {
		s.closed = true
		s.queue = nil
		s.out.Close()
	}
	if s.closed {
		return io.ErrClosedPipe
	}
	message := append(fmt.Appendf(nil, "Content-Length: %d\r\n\r\n", len(body)), body...)
	s.queue = append(s.queue, message)
	s.queued += len(message)
	s.nudge()
	return nil
}

func (s *stream) nudge() {
	select {
	case s.waiting <- struct{}{}:
	default:
	}
}

// write writes what there is until the stream is closed and all is written, or nothing can be.
func (s *stream) write() {
	defer close(s.written)
	for range s.waiting {
		for {
			message, over := s.next()
			if message == nil {
				if over {
					return
				}
				break
			}
			if _, err := s.out.Write(message); err != nil {
				s.mu.Lock()
				s.closed = true
				s.mu.Unlock()
				return
			}
		}
	}
}

// next takes a message off the queue; nil when there is none, for now or for ever.
func (s *stream) next() (message []byte, over bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.queue) == 0 {
		return nil, s.closed
	}
	message, s.queue = s.queue[0], s.queue[1:]
	s.queued -= len(message)
	return message, false
}

// Close waits a moment for what is still to be written, then closes what the messages come from and go to. It
// may be called again.
func (s *stream) Close() error {
	s.mu.Lock()
	s.closed = true
	s.mu.Unlock()
	s.nudge()
	select {
	case <-s.written:
	case <-time.After(time.Second):
	}
	return s.out.Close()
}

package lsp

import (
	"context"
	"fmt"
	"io"
	"net"
	"strings"
	"sync"
)

// Listen serves every client that connects to an address until ctx ends. The address is host:port with a
// host of this machine's own, which nothing outside can reach, or a port alone; ready is told where the
// server listens, since port 0 takes any.
func Listen(ctx context.Context, address string, c Config, ready func(net.Addr)) error {
	address, err := loopback(address)
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w", address, err)
	}
	if c.Errors == nil {
		c.Errors = io.Discard
	}
	var clients sync.WaitGroup
	defer clients.Wait()
	stop := context.AfterFunc(ctx, func() { l.Close() })
	defer stop()
	ready(l.Addr())
	for {
		conn, err := l.Accept()
		switch {
		case ctx.Err() != nil:
			return nil
		case err != nil:
			l.Close()
			return fmt.Errorf("cannot listen on %s any longer: %w", address, err)
		}
		clients.Go(func() {
			if err := Serve(ctx, conn, c); err != nil && ctx.Err() == nil {
				fmt.Fprintf(c.Errors, "haulm: %s: %s\n", conn.RemoteAddr(), err)
			}
		})
	}
}

// loopback completes an address and refuses one that other machines could reach.
func loopback(address string) (string, error) {
	if !strings.Contains(address, ":") {
		address = ":" + address
	}
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return "", fmt.Errorf("%s is no address to listen on; say for example 127.0.0.1:7070, or 7070 alone", address)
	}
	ip := net.ParseIP(host)
	switch {
	case host == "" || host == "localhost":
		host = "127.0.0.1"
	case ip == nil || !ip.IsLoopback():
		return "", fmt.Errorf("%s could be reached from other machines; listen on 127.0.0.1 or ::1", host)
	}
	return net.JoinHostPort(host, port), nil
}

package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFold(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"short", "two words\n", "two words\n"},
		{"long", "a line of several words\n", "a line of\nseveral\nwords\n"},
		{"wrapped before", "a line of several\nwords\n", "a line of\nseveral\nwords\n"},
		{"paragraphs", "one\ntwo\n\nthree\n", "one two\n\nthree\n"},
		{"code", "see\n\n    a line of code stays\n    as it is\n", "see\n\n    a line of code stays\n    as it is\n"},
		{"list", "for\n- one and\n  more of it\n- two\n", "for\n- one and\n  more of\n  it\n- two\n"},
		{"heading", "## a\nb\n", "## a\nb\n"},
		{"table", "| a |\n| - |\n| b |\n", "| a |\n| - |\n| b |\n"},
		{"no end", "one\ntwo", "one two"},
		{"nothing", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) { require.Equal(t, c.want, fold(c.text, 11)) })
	}
}

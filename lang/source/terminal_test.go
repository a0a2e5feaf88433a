package source_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/source"
)

func TestTextColumns(t *testing.T) {
	for text, want := range map[string]int{
		"": 0, "beet": 4, "é": 1, "e\u0301": 1, "トマト": 6, "Ａ": 2, "🌽": 2, "a\u200db": 2, "½": 1, "ﾄ": 1, "玉\ufe0f": 2, "│…": 2,
	} {
		require.Equal(t, want, source.TextColumns(text), "%q", text)
	}
}

// What could move a cursor, turn the text about or end its line never reaches a page.
func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"beet ½ é 🌽": "beet ½ é 🌽", "\x1b[31m": "␛[31m", "a\nb\tc\x00": "a␊b␉c␀", "\x7f": "␡",
		"\u0085\u009b": "��", "\ufeff": "�", "\u202eabc\u2066": "�abc�", "\u200e\u200f\u061c": "���", "\u2028\u2029": "��",
	} {
		require.Equal(t, want, strings.Map(source.Visible, text), "%q", text)
	}
}

package syntax

import (
	"testing";"fmt";"time";"strings";"runtime"
	"haulm/lang/source"
)
func TestHostile(t *testing.T) {
	n := 8<<20 - 16
	rep := func(pre, s, post string) string { return pre+strings.Repeat(s, (n-len(pre)-len(post))/len(s))+post }
	for _, c := range []struct{name, text string}{
		{"-", rep("x = ", "-", "1\n")},
		{"not ", rep("x = ", "not ", "1\n")},
		{"lambda:", rep("x = ", "lambda:", "1\n")},
		{"[", rep("x = ", "[", "\n")},
		{"[]", strings.Repeat("[", n/2)+ strings.Repeat("]", n/2)},
		{"(nl", rep("x = ", "[\n", "")},
		{"a+", rep("x = ", "a+", "a\n")},
		{"a and", rep("x = ", "a and ", "a\n")},
		{".y", rep("x = x", ".y", "\n")},
		{"()", rep("f", "()", "\n")},
		{"[0]", rep("f", "[0]", "\n")},
		{"ifelse", rep("x = ", "a if b else ", "c\n")},
		{"elif", rep("if a:\n  b\n", "elif a:\n b\n", "")},
		{"if nest", rep("", "if a:", "b\n")},
		{"a(nl", rep("", "a(\n", "")},
		{"a(1,nl", rep("", "a(1,\n", "")},
		{"a=nl", rep("", "a=\n", "")},
		{")nl", rep("", ")\n", "")},
		{"prose", rep("", "a b c\n", "")},
		{"\"\"\"", rep("", "\"\"\"a\nf()\n", "")},
		{"'", rep("", "'\n", "")},
		{"digits", rep("x = ", "7", "\n")},
		{"a,", rep("x = ", "a,", "a\n")},
		{"a=a=", rep("x", " = a", "\n")},
		{"a\\n", rep("", "a\n", "")},
		{" a", rep("", "a\n  b\n", "")},
		{"acc", rep("", "a # accept: x - y\n", "")},
		{"indents", func() string { var b strings.Builder; for i:=0; b.Len()+i+10 < n; i++ { b.WriteString(strings.Repeat(" ", i)+"if a:\n") }; return b.String() }()},
		{"unclosed then good", "x = (\n"+rep("", "r = row(bench, at = 4 * ft)\n", "")},
		{"nul", rep("", "a # \x00\n", "")},
		{"a+ in [ at col0", "x = [\n"+rep("", "f(a=\na)+\n", "1]\n")},
	} {
		start := time.Now()
		tr := Parse(source.New("x.star", c.text))
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		msg := ""
		if len(tr.Findings) > 0 { msg = tr.Findings[0].Message; if len(msg) > 70 { msg = msg[:70] } }
		fmt.Printf("%-8s %8v stmts %d bad %d findings %d sys %dMB %s\n", c.name, time.Since(start).Round(time.Millisecond), len(tr.Root.Stmts), len(tr.Bad), len(tr.Findings), m.Sys>>20, msg)
		tr = nil
	}
}

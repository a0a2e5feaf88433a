package lsp

import (
	"os"
	"path/filepath"
	"sync"

	"haulm/lang/diag"
)

// pages are the explanations of findings as files that an editor can open: findings are explained by the
// program itself, offline, and have no address on the web.
type pages struct {
	dir string

	mu    sync.Mutex
	hrefs map[string]string // by code; "" where the page could not be written
}

func newPages(dir string) *pages { return &pages{dir: dir, hrefs: map[string]string{}} }

// href is the URI of a rule's page, which is written when first asked for; "" when there can be none.
func (p *pages) href(r *diag.Rule) string {
	if p.dir == "" {
		return ""
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	uri, ok := p.hrefs[r.Code]
	if !ok {
		uri = p.write(r)
		p.hrefs[r.Code] = uri
	}
	return uri
}

// write puts a page in its place whole: another server may be writing the same one.
func (p *pages) write(r *diag.Rule) string {
	file, text := filepath.Join(p.dir, r.Code+".md"), pageText(r)
	if old, err := os.ReadFile(file); err == nil && string(old) == text {
		return uriOf(file)
	}
	if os.MkdirAll(p.dir, 0o755) != nil {
		return ""
	}
	part, err := os.CreateTemp(p.dir, "."+r.Code+"-*")
	if err != nil {
		return ""
	}
	defer os.Remove(part.Name())
	_, err = part.WriteString(text)
	if closed := part.Close(); err != nil || closed != nil || os.Rename(part.Name(), file) != nil {
		return ""
	}
	return uriOf(file)
}

// pageText is a rule's explanation as Markdown.
func pageText(r *diag.Rule) string {
	text := "# " + r.Code + "\n\n" + r.Severity.String() + ": " + r.Summary + "\n\n" + r.Explain + "\n"
	if r.Example != "" {
		text += "\nIt finds fault with this plan:\n\n```python\n" + r.Example + "```\n"
	}
	return text + "\nSource: " + r.Source + ".\n"
}

package lsp

import (
	"net/url"
	"path/filepath"
	"runtime"
	"strings"
)

// keyOf is the one name of a document inside the server: the cleaned path of a file, the URI itself of
// anything else, such as a text never saved.
func keyOf(uri string) string {
	if file, ok := pathOf(uri); ok {
		return file
	}
	return uri
}

// pathOf is the path of a file URI; false for any other.
func pathOf(uri string) (string, bool) {
	u, err := url.Parse(uri)
	if err != nil || u.Scheme != "file" || u.Path == "" {
		return "", false
	}
	p := u.Path
	if runtime.GOOS == "windows" {
		p = strings.TrimPrefix(p, "/")
	}
	return filepath.Clean(filepath.FromSlash(p)), true
}

// uriOf is the URI of a document's key.
func uriOf(key string) string {
	if !filepath.IsAbs(key) {
		return key
	}
	p := filepath.ToSlash(key)
	if !strings.HasPrefix(p, "/") {
		p = "/" + p
	}
	return (&url.URL{Scheme: "file", Path: p}).String()
}

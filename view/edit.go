package view

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"unicode/utf8"

	"haulm/lang/syntax"
)

// edit serves the editor's page. Its styles are made by a script, so they carry a nonce.
func (s *server) edit(w http.ResponseWriter, _ *http.Request) {
	var out bytes.Buffer
	nonce := rand.Text()
	err := parts.ExecuteTemplate(&out, "edit", map[string]string{"Entry": s.Entry, "Root": filepath.ToSlash(s.Root), "Nonce": nonce})
	s.send(w, "edit.html", nonce, out.Bytes(), err)
}

// files lists what the plan is made of and asked for; the editor opens those that are plans and tells the language
// server when one that it has not open changes on disk.
func (s *server) files(w http.ResponseWriter, _ *http.Request) {
	type file struct {
		Path string `json:"path"`
		Plan bool   `json:"plan"`
		Page string `json:"page"` // of the book, that shows it
	}
	list := []file{}
	b, _, _ := s.live.now()
	for name := range s.live.watched() {
		_, err := os.Stat(filepath.Join(s.Root, filepath.FromSlash(name)))
		list = append(list, file{name, isPlan(name) && err == nil, b.Source(name)})
	}
	slices.SortFunc(list, func(a, b file) int {
		switch {
		case a.Path == b.Path:
			return 0
		case a.Path == s.Entry || b.Path != s.Entry && a.Path < b.Path:
			return -1
		}
		return 1
	})
	text, err := json.Marshal(list)
	s.send(w, "files.json", "", text, err)
}

// refusal is why a text is neither opened nor saved.
type refusal struct {
	status int
	words  string
}

func (r *refusal) Error() string { return r.words }

// open reads a plan's text below the root, through no link that leads out. Other files are nobody's business here.
func (s *server) open(name string) ([]byte, error) {
	if !fs.ValidPath(name) || !isPlan(name) {
		return nil, &refusal{http.StatusForbidden, "only the plan's own .star files can be opened here"}
	}
	root, err := os.OpenRoot(s.Root)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	info, err := root.Stat(filepath.FromSlash(name))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &refusal{http.StatusNotFound, "there is no " + name + " any more"}
	case err != nil:
		return nil, &refusal{http.StatusForbidden, name + " cannot be opened: it leads out of the plan's folder, or may not be read"}
	case !info.Mode().IsRegular() || info.Size() > syntax.MaxFileSize:
		return nil, &refusal{http.StatusForbidden, name + " is no file that a plan can be"}
	}
	f, err := root.Open(filepath.FromSlash(name))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, syntax.MaxFileSize+1))
	if err == nil && !utf8.Valid(text) {
		return nil, &refusal{http.StatusUnsupportedMediaType, name + " is not written in UTF-8, and saving would spoil it"}
	}
	return text, err
}

// tag names the very text of a file.
func tag(text []byte) string {
	sum := sha256.Sum256(text)
	return `"` + hex.EncodeToString(sum[:16]) + `"`
}

// text serves a file of the plan to the editor, with the tag that saving over it needs.
func (s *server) text(w http.ResponseWriter, r *http.Request) {
	text, err := s.open(r.URL.Query().Get("file"))
	if err != nil {
		refuse(w, err)
		return
	}
	w.Header().Set("ETag", tag(text))
	s.send(w, "text.txt", "", text, nil)
}

// save puts a text in the place of the one that the editor opened or saved last, which If-Match names. When another
// is there by now, it stays, and the answer has its tag.
func (s *server) save(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Query().Get("file")
	s.saving.Lock()
	defer s.saving.Unlock()
	old, err := s.open(name)
	if err != nil {
		refuse(w, err)
		return
	}
	text, err := io.ReadAll(http.MaxBytesReader(w, r.Body, syntax.MaxFileSize))
	switch {
	case err != nil:
		err = &refusal{http.StatusRequestEntityTooLarge, fmt.Sprintf("a plan's file has at most %d MB", syntax.MaxFileSize>>20)}
	case !utf8.Valid(text):
		err = &refusal{http.StatusUnsupportedMediaType, "a plan is written in UTF-8"}
	case r.Header.Get("If-Match") == "":
		err = &refusal{http.StatusPreconditionRequired, "say what is written over: If-Match"}
	case r.Header.Get("If-Match") != tag(old):
		w.Header().Set("ETag", tag(old))
		err = &refusal{http.StatusPreconditionFailed, name + " has changed on disk since it was opened here; nothing was written"}
	default:
		err = s.Save(filepath.Join(s.Root, filepath.FromSlash(name)), string(text))
	}
	if err != nil {
		refuse(w, err)
		return
	}
	w.Header().Set("ETag", tag(text))
	w.WriteHeader(http.StatusNoContent)
}

// refuse says why something was not done.
func refuse(w http.ResponseWriter, err error) {
	status := http.StatusInternalServerError
	if r := (*refusal)(nil); errors.As(err, &r) {
		status = r.status
	}
	http.Error(w, err.Error(), status)
}

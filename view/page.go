package view

import (
	"bytes"
	"crypto/rand"
	"embed"
	"html/template"
	"net/http"
	"path"
	"strconv"
	"strings"

	"haulm/lang/book"
	"haulm/lang/diag"
)

//go:embed pages.html
var pagesText string

// parts are the templates of what stands around the book's pages, and of the editor's page.
var parts = template.Must(template.New("").Parse(pagesText))

//go:embed web/dist
var built embed.FS

// kinds are the types of the files served, by the ends of their names.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".csv": "text/csv; charset=utf-8", ".json": "application/json", ".geojson": "application/geo+json",
	".ics":  "text/calendar; charset=utf-8",
	".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
	".txt":  "text/plain; charset=utf-8",
}

// mostBeside is how many findings stand beside a page.
const mostBeside = 100

// page serves a file of the book as it is now; a page with findings beside it and what keeps it up with the plan.
func (s *server) page(w http.ResponseWriter, r *http.Request) {
	b, n, _ := s.live.now()
	name := r.PathValue("page")
	for _, p := range b.Files() {
		if p.Name != name {
			continue
		}
		var out bytes.Buffer
		nonce, err := "", error(nil)
		if path.Ext(name) == ".html" {
			nonce, err = s.framed(&out, b, p, n)
		} else {
			err = b.Write(p, &out)
		}
		s.send(w, name, nonce, out.Bytes(), err)
		return
	}
	var out bytes.Buffer
	err := parts.ExecuteTemplate(&out, "missing", nil)
	if err == nil {
		w.Header().Set("Content-Type", kinds[".html"])
		w.WriteHeader(http.StatusNotFound)
	}
	_, _ = w.Write(out.Bytes())
}

// send answers with a file that was made, or says that it could not be.
func (s *server) send(w http.ResponseWriter, name, nonce string, text []byte, err error) {
	if err != nil {
		http.Error(w, "this page could not be made: "+err.Error(), http.StatusInternalServerError)
		return
	}
	kind, ok := kinds[path.Ext(name)]
	if !ok {
		kind = "application/octet-stream"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Security-Policy", s.policy(nonce))
	_, _ = w.Write(text) // a reader that has gone misses nothing
}

// framed writes a page of the book in its frame and gives the nonce that its styles carry. The book's own styles
// are the only ones on the page: text of the plan is escaped.
func (s *server) framed(out *bytes.Buffer, b *book.Book, p book.Page, n news) (nonce string, err error) {
	var found, top, beside bytes.Buffer
	if err := b.WriteFindings(&found, mostBeside); err != nil {
		return "", err
	}
	data := map[string]any{
		"News": n, "Tally": diag.Tally(b.Findings), "Findings": template.HTML(found.String()),
		"Beside": p.Name != "findings.html", "Editing": s.editing(),
	}
	if err := parts.ExecuteTemplate(&top, "top", data); err != nil {
		return "", err
	}
	if err := parts.ExecuteTemplate(&beside, "beside", data); err != nil {
		return "", err
	}
	var page bytes.Buffer
	err = b.WriteFramed(p, &page, book.Frame{
		Head:   `<link rel="stylesheet" href="/-/web/live.css"><script type="module" src="/-/web/live.js"></script>`,
		Top:    template.HTML(top.String()),
		Beside: template.HTML(beside.String()),
	})
	nonce = rand.Text()
	out.WriteString(strings.ReplaceAll(page.String(), "<style>", `<style nonce="`+nonce+`">`))
	return nonce, err
}

// why serves how a planting was reckoned.
func (s *server) why(w http.ResponseWriter, r *http.Request) {
	b, _, _ := s.live.now()
	number, err := strconv.Atoi(r.URL.Query().Get("planting"))
	if err != nil || number < 1 || number > len(b.Facts.Plantings) {
		http.Error(w, "there is no such planting", http.StatusNotFound)
		return
	}
	var out bytes.Buffer
	err = b.WriteWhy(&out, b.Facts.Plantings[number-1])
	s.send(w, "why.html", "", out.Bytes(), err)
}

// web serves what the browser runs.
func (s *server) web(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	text, err := built.ReadFile("web/dist/" + name)
	if err != nil {
		http.NotFound(w, r)
		return
	}
	s.send(w, name, "", text, nil)
}

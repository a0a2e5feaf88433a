package view

import (
	"crypto/subtle"
	"fmt"
	"net/http"
	"strconv"
	"strings"
)

// guard lets through what comes from this machine's browser for this server's own pages. A page of somebody else's
// in the same browser can send requests here too, even by a name of its own that leads to this machine: they come
// with another Host or Origin.
func (s *server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Content-Security-Policy", s.policy(""))
		switch {
		case !s.isOurs(r.Host):
			http.Error(w, "this server answers to 127.0.0.1 and localhost only", http.StatusMisdirectedRequest)
		case !s.isFromUs(r):
			http.Error(w, "this comes from a page of another server", http.StatusForbidden)
		case !s.mayAsk(r):
			h.Set("Allow", "GET, HEAD")
			http.Error(w, "this page only shows; nothing can be changed here", http.StatusMethodNotAllowed)
		case s.token == "":
			next.ServeHTTP(w, r)
		default:
			s.admit(w, r, next)
		}
	})
}

func (s *server) isOurs(host string) bool {
	port := ":" + strconv.Itoa(s.port)
	return host == "127.0.0.1"+port || host == "localhost"+port
}

// isFromUs tells whether a request was made by a page of this server, or by a person who opened an address.
func (s *server) isFromUs(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" {
		host, plain := strings.CutPrefix(origin, "http://")
		if !plain || host != r.Host {
			return false
		}
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin":
		return true
	}
	// Another page may lead here, in the whole window.
	return r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document"
}

func (s *server) mayAsk(r *http.Request) bool {
	return r.Method == http.MethodGet || r.Method == http.MethodHead || s.editing() && r.Method == http.MethodPost
}

// admit asks for the token: in the address, which sets a cookie and leaves the address bar, in the cookie, or in a
// header for programs. Cookies are shared by all ports of a machine: the name says whose it is.
func (s *server) admit(w http.ResponseWriter, r *http.Request, next http.Handler) {
	name := fmt.Sprintf("haulm-%d", s.port)
	if given := r.URL.Query().Get("token"); given != "" && s.isToken(given) && r.Method == http.MethodGet {
		http.SetCookie(w, &http.Cookie{Name: name, Value: given, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
		return
	}
	if cookie, err := r.Cookie(name); err == nil && s.isToken(cookie.Value) || s.isToken(r.Header.Get("Haulm-Token")) {
		next.ServeHTTP(w, r)
		return
	}
	http.Error(w, "open the whole address that `haulm view` printed, with its token", http.StatusForbidden)
}

func (s *server) isToken(given string) bool {
	return subtle.ConstantTimeCompare([]byte(given), []byte(s.token)) == 1
}

// policy is what a page may load and run: what this server serves, and styles that carry the nonce.
func (s *server) policy(nonce string) string {
	styles, framed := "'self'", "'none'"
	if nonce != "" {
		styles += " 'nonce-" + nonce + "'"
	}
	if s.editing() {
		framed = "'self'"
	}
	return fmt.Sprintf("default-src 'none'; script-src 'self'; style-src %s; img-src 'self' data:; "+
		"connect-src 'self' ws://127.0.0.1:%d ws://localhost:%d; frame-src %s; frame-ancestors %s; base-uri 'none'; form-action 'none'",
		styles, s.port, s.port, framed, framed)
}

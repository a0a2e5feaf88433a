//go:build e2e

package e2e

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// The pages of editors that are not run here: their commands do what they say.
func TestPages(t *testing.T) {
	for editor, files := range map[string][]string{
		"kate": {
			".config/kate/lspclient/settings.json",
			".local/share/org.kde.syntax-highlighting/syntax/haulm.xml",
			"my-farm/farm.star",
		},
		"helix": {"my-farm/.helix/languages.toml", "my-farm/.helix/config.toml", "my-farm/farm.star"},
	} {
		t.Run(editor, func(t *testing.T) {
			h := newHome(t, build(t))
			h.follow(t, editor)
			for _, name := range files {
				require.FileExists(t, filepath.Join(h.dir, name))
			}
		})
	}
}

// Each set-up offers the switches that the server has, in the server's words.
func TestSettings(t *testing.T) {
	set := func(name string) string { return read(t, filepath.Join("..", "editors"), name) }
	var extension struct {
		Contributes struct {
			Configuration struct {
				Properties map[string]struct {
					Type        string
					Default     any
					Description string
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(set("vscode/package.json")), &extension))
	var kate struct {
		Servers map[string]struct {
			Settings map[string]map[string]map[string]bool
		}
	}
	require.NoError(t, json.Unmarshal([]byte(set("kate/settings.json")), &kate))
	emacs, helix, neovim, vscode := set("emacs/haulm.el"), set("helix/languages.toml"), set("neovim/haulm.lua"), set("vscode/README.md")

	page, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	switches := regexp.MustCompile("(?m)^\\| `inlayHints\\.(\\w+)` \\| (.*?) \\|$").FindAllStringSubmatch(string(page), -1)
	require.NotEmpty(t, switches)
	for _, s := range switches {
		name, about := s[1], s[2]
		t.Run(name, func(t *testing.T) {
			p := extension.Contributes.Configuration.Properties["haulm.inlayHints."+name]
			require.Equal(t, "Show "+about+".", p.Description)
			require.Equal(t, true, p.Default)
			require.Contains(t, vscode, "| `haulm.inlayHints."+name+"` | on | "+about+" |")
			require.True(t, kate.Servers["haulm"].Settings["haulm"]["inlayHints"][name])
			require.Contains(t, neovim, "  "+name+" = true, -- "+about+"\n")
			require.Regexp(t, `(?m)^`+name+` = true +# `+regexp.QuoteMeta(about)+`$`, helix)
			require.Contains(t, emacs, ":"+name+" t")
			require.Regexp(t, `(?m)^  :`+name+` +`+regexp.QuoteMeta(about), emacs)
		})
	}
	require.Len(t, kate.Servers["haulm"].Settings["haulm"]["inlayHints"], len(switches))
}

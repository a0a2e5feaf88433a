package view

import (
	"context"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/fsnotify/fsnotify"
)

// disk is what a plan can read: what lies below its root. It notes what was asked for, there or not, since any of it
// can change the plan.
type disk struct {
	root string

	mu    sync.Mutex
	asked map[string]bool
}

func newDisk(root string) *disk { return &disk{root: root, asked: map[string]bool{}} }

// Open opens a file. The root is opened anew each time: it may have been moved away and made again since.
func (d *disk) Open(name string) (fs.File, error) {
	d.mu.Lock()
	d.asked[name] = true
	d.mu.Unlock()
	root, err := os.OpenRoot(d.root)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return root.FS().Open(name)
}

func (d *disk) took() map[string]bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return maps.Clone(d.asked)
}

// pause is how long nothing must change before a plan is read again: programs write a file in several steps.
const pause = 40 * time.Millisecond

// watch reads the plan again when a file that it asked for changes. Folders are watched rather than files: most
// programs save by putting a new file in the place of the old.
type watch struct {
	live    *live
	notify  *fsnotify.Watcher
	folders map[string]bool
}

func newWatch(l *live) (*watch, error) {
	n, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, err
	}
	w := &watch{live: l, notify: n, folders: map[string]bool{}}
	if err := w.follow(); err != nil {
		n.Close()
		return nil, err
	}
	return w, nil
}

// follow watches the folder of each file of the plan; of one that is not there, the nearest that is.
func (w *watch) follow() error {
	want := map[string]bool{}
	for name := range w.live.watched() {
		dir := filepath.Dir(w.on(name))
		for dir != w.live.root && !isFolder(dir) {
			dir = filepath.Dir(dir)
		}
		want[dir] = true
	}
	for dir := range w.folders {
		if !want[dir] {
			_ = w.notify.Remove(dir) // it may be gone, and with it the watch
		}
	}
	w.folders = want
	for dir := range want {
		if err := w.notify.Add(dir); err != nil {
			return err
		}
	}
	return nil
}

func (w *watch) on(name string) string { return filepath.Join(w.live.root, filepath.FromSlash(name)) }

func isFolder(dir string) bool {
	info, err := os.Stat(dir)
	return err == nil && info.IsDir()
}

// run watches until ctx ends.
func (w *watch) run(ctx context.Context) {
	defer w.notify.Close()
	quiet := time.NewTimer(time.Hour)
	defer quiet.Stop()
	for {
		select {
		case e := <-w.notify.Events:
			if e.Op != fsnotify.Chmod && w.concerns(e.Name) {
				quiet.Reset(pause)
			}
		case <-w.notify.Errors: // events were lost: look
			quiet.Reset(pause)
		case <-quiet.C:
			w.live.read()
			_ = w.follow() // a folder that cannot be watched now is tried again at the next change
		case <-ctx.Done():
			return
		}
	}
}

// concerns tells whether the plan depends on a file, or on one below a folder.
func (w *watch) concerns(file string) bool {
	for name := range w.live.watched() {
		for at := w.on(name); len(at) >= len(file); at = filepath.Dir(at) {
			if at == file {
				return true
			}
		}
	}
	return false
}

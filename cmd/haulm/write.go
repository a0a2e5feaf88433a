package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
)

// writeResult writes a result to a file, whole or not at all, or to the standard output when none is named.
func writeResult(stdout io.Writer, file string, text []byte) error {
	if file != "" && file != stdinName {
		return writeWhole(map[string]string{file: string(text)}, []string{file})
	}
	if _, err := stdout.Write(text); err != nil {
		return fmt.Errorf("cannot write the result: %w", reason(err))
	}
	return nil
}

// staged is a file written beside the one it will replace.
type staged struct{ temp, target, name string }

// writeWhole puts several files in place, each whole or not at all: every text is first written and
// synced beside its target, and only when all of them are there do they take the targets' names. Links
// are followed, modes are kept. Keys are paths; order gives the keys in the order to write.
func writeWhole(texts map[string]string, order []string) error {
	var files []staged
	for _, name := range order {
		f, err := stage(name, texts[name])
		if err != nil {
			discard(files)
			return fmt.Errorf("cannot write %s: %w; nothing was changed", name, reason(err))
		}
		files = append(files, f)
	}
	for i, f := range files {
		if err := os.Rename(f.temp, f.target); err != nil {
			discard(files[i:])
			return fmt.Errorf("cannot write %s: %w", f.name, reason(err))
		}
	}
	return nil
}

func discard(files []staged) {
	for _, f := range files {
		os.Remove(f.temp)
	}
}

// stage writes a text beside its target. A target that may not be written is refused even where its
// folder would let it be replaced.
func stage(name, text string) (staged, error) {
	s := staged{target: name, name: name}
	mode, known := fs.FileMode(0o666), false
	switch target, err := filepath.EvalSymlinks(name); {
	case err == nil:
		s.target = target
		info, err := os.Stat(target)
		if err != nil {
			return s, err
		}
		f, err := os.OpenFile(target, os.O_WRONLY, 0)
		if err != nil {
			return s, err
		}
		f.Close()
		mode, known = info.Mode().Perm(), true
	case !errors.Is(err, fs.ErrNotExist):
		return s, err
	default:
		if _, err := os.Lstat(name); err == nil {
			return s, errors.New("it is a link that leads nowhere")
		}
	}
	f, err := createBeside(s.target, mode)
	if err != nil {
		return s, err
	}
	s.temp = f.Name()
	_, err = f.WriteString(text)
	if err == nil && known {
		err = f.Chmod(mode) // the umask may have taken bits
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(s.temp)
	}
	return s, err
}

// createBeside makes a new file in the folder of another, hidden and with the mode a new file gets.
func createBeside(target string, mode fs.FileMode) (*os.File, error) {
	for n := os.Getpid(); ; n++ {
		name := filepath.Join(filepath.Dir(target), ".haulm-"+strconv.Itoa(n))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}

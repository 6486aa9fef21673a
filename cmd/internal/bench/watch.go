package bench

import (
	"context"
	"path/filepath"
	"time"

	"github.com/fsnotify/fsnotify"
)

// settle is how long a file has to be left alone before it is read again:
// editors write in several steps.
const settle = 60 * time.Millisecond

// watch calls f after the file has changed, until ctx ends. The folder is
// watched, not the file: editors put a new file in the place of the old.
func watch(ctx context.Context, path string, f func()) error {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return err
	}
	if err := w.Add(filepath.Dir(path)); err != nil {
		_ = w.Close()
		return err
	}
	go func() {
		defer w.Close()
		timer := time.NewTimer(time.Hour)
		timer.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-w.Errors: // events may be lost: look
				timer.Reset(settle)
			case e := <-w.Events:
				if filepath.Base(e.Name) == filepath.Base(path) && !e.Has(fsnotify.Chmod) {
					timer.Reset(settle)
				}
			case <-timer.C:
				f()
			}
		}
	}()
	return nil
}

package cli

import (
	"fmt"
	"io"
	"time"

	"github.com/schollz/progressbar/v3"
)

// meter shows the progress of work that takes longer than a second to somebody
// at a screen, and nothing to anybody else.
type meter struct {
	w     io.Writer
	shown bool // somebody looks
	start time.Time
	what  string
	bar   *progressbar.ProgressBar
}

func (r *run) meter(what string) *meter {
	return &meter{w: r.Err, shown: r.Terminal, start: time.Now(), what: what}
}

// patience is how long work may take before its progress is shown.
const patience = time.Second

// about says what the work is on now: beside the bar to somebody at a screen, else
// as a line of its own. It is for work of minutes, which else would look stopped.
func (m *meter) about(what string) {
	m.what = what
	switch {
	case !m.shown:
		fmt.Fprintln(m.w, what+" ...")
	case m.bar != nil:
		m.bar.Describe(what)
	}
}

// step notes how far the work is.
func (m *meter) step(done, total int) {
	if !m.shown || total <= 0 {
		return
	}
	if m.bar == nil {
		if time.Since(m.start) < patience {
			return
		}
		m.bar = progressbar.NewOptions(total,
			progressbar.OptionSetWriter(m.w),
			progressbar.OptionSetDescription(m.what),
			progressbar.OptionSetWidth(30),
			progressbar.OptionSetPredictTime(false),
			progressbar.OptionThrottle(100*time.Millisecond),
			progressbar.OptionClearOnFinish(),
		)
	}
	// A screen that can't be written to is no reason to stop the work.
	_ = m.bar.Set(min(done, total))
}

// end takes the bar away.
func (m *meter) end() {
	if m.bar != nil {
		_ = m.bar.Clear()
	}
}

//go:build unix

// Package cost tells what a benchmark costs beside its time: on a machine that
// is not idle, processor time says more than the clock.
package cost

import (
	"syscall"
	"testing"
	"time"
)

// Mark is a moment, by the processor time used until then.
type Mark time.Duration

// Start returns the mark of now.
func Start() Mark { return Mark(used()) }

// CPU returns the processor time that the process has used since, on all cores
// together.
func (m Mark) CPU() time.Duration { return used() - time.Duration(m) }

// Report reports the processor time of one turn of the benchmark since the mark,
// as cpu-ms.
func (m Mark) Report(b *testing.B) {
	b.ReportMetric(float64(m.CPU().Microseconds())/1e3/float64(b.N), "cpu-ms")
}

// Memory reports the most memory that the process has held so far, as peak-MB:
// run a benchmark alone for its own figure.
func Memory(b *testing.B) {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) == nil {
		b.ReportMetric(float64(u.Maxrss)/1024, "peak-MB")
	}
}

// used returns the processor time used so far, 0 where the system does not tell.
func used() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

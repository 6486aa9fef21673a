package bench

import (
	"net"
	"strings"
	"testing"
)

// A port that is taken is said to be, with what to do.
func TestPortTaken(t *testing.T) {
	open, err := listen(0)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		for _, l := range open {
			l.Close()
		}
	}()
	_, err = listen(open[0].Addr().(*net.TCPAddr).Port)
	if err == nil || !strings.Contains(err.Error(), "is taken") || !strings.Contains(err.Error(), "give another") {
		t.Errorf("a port twice: %v", err)
	}
}

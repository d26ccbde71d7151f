package pressroom

import (
	"bufio"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"foldwright/cmd/internal/testkit/benchtest"
	"foldwright/cmd/internal/testkit/ipptest"
	"foldwright/printer/virtual"
	"foldwright/reorder/sample"
)

// deskFolder names the folder over which [TestServeDesk] serves a desk.
const deskFolder = "FOLDWRIGHT_TEST_DESK"

// TestServeDesk is a desk in a process of its own, for a test that kills it.
func TestServeDesk(t *testing.T) {
	dir := os.Getenv(deskFolder)
	if dir == "" {
		t.Skip("serves a desk for another test")
	}
	d, _ := desk(t.Context(), t, dir)
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	fmt.Printf("http://%s\n", l.Addr())
	t.Fatal(http.Serve(l, d.Routes()))
}

// serve starts the desk in a process.
func (v *visitor) serve() *exec.Cmd {
	v.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestServeDesk$", "-test.timeout=10m")
	cmd.Env = append(os.Environ(), deskFolder+"="+v.dir)
	out, err := cmd.StdoutPipe()
	if err != nil {
		v.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		v.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		v.Fatal(err)
	}
	v.base = strings.TrimSpace(line)
	return cmd
}

// TestKilledInThePass: whenever the program is killed, the next one asks what came out, and no sheet is
// sent twice or left out.
func TestKilledInThePass(t *testing.T) {
	random := sample.Random(t)
	rounds := 1
	if sample.Full() {
		rounds = 25
	}
	kills, between, within := 0, 0, 0
	for round := 0; round < rounds || within == 0 || between == 0; round++ {
		all := virtual.All()
		v := &visitor{T: t, Bench: benchtest.New(t, all[random.IntN(len(all))]), dir: t.TempDir(), limit: 1 << 30, wait: func() { time.Sleep(20 * time.Millisecond) }} // and looks again
		v.Answer = v.TellTruth
		d, _ := desk(t.Context(), t, v.dir)
		v.prepare(d, 4, nil)
		if err := d.Library.Close(); err != nil {
			t.Fatal(err)
		}
		var cmd *exec.Cmd
		print := v.Peer.Print
		var kill func(before bool) // at the next document
		v.Peer.Print = func(a *ipptest.Arrived) {
			v.Lock()
			now := kill
			kill = nil
			v.Unlock()
			if now != nil {
				now(true)
			}
			print(a)
		}
		for start := 0; ; start++ {
			cmd = v.serve()
			dead := false
			end := func(inPass bool) {
				_ = cmd.Process.Kill()
				kills++
				if inPass {
					within++
				} else {
					between++
				}
			}
			lookMost := 1 << 30
			if start < 6 {
				if random.IntN(2) == 0 { // in the middle of a pass: its document has arrived, and is being printed
					v.Lock()
					kill = end
					v.Unlock()
				} else {
					lookMost = 1 + random.IntN(8)
				}
			}
			done := v.print(func(looked int) bool {
				if looked == lookMost && !dead {
					dead = true
					end(false)
				}
				return dead
			})
			_ = cmd.Process.Kill() // it may have ended
			_ = cmd.Wait()         // killed
			v.Lock()
			kill = nil
			v.Unlock()
			if done {
				break
			}
			if start > 60 {
				t.Fatalf("it never ends:\n%s", v.Screen.String())
			}
		}
		v.ReadBook(v.Folder)
	}
	t.Logf("killed %d times: %d in a pass, %d between", kills, within, between)
}

package document

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// crashFolder tells the test program to be the one that is killed.
const crashFolder = "SPANWRIGHT_TEST_CRASH_FOLDER"

func TestMain(m *testing.M) {
	if dir := os.Getenv(crashFolder); dir != "" {
		saveForever(dir)
		return
	}
	os.Exit(m.Run())
}

// filled is a text of half a megabyte that tells when it is not whole.
func filled(letter byte) string { return strings.Repeat(string(letter), 1<<19) + "\nend\n" }

// saveForever changes and saves without end.
func saveForever(dir string) {
	f, err := Open(dir, Settings{Most: 1 << 20})
	if err != nil {
		panic(err)
	}
	d, err := f.Document("a.yaml")
	if err != nil {
		panic(err)
	}
	s := d.State()
	for i := 0; ; i++ {
		if s, err = d.Write(s.Version, filled("ab"[i%2]), "w"); err != nil {
			panic(err)
		}
		d.keep()
		if i == 0 {
			fmt.Println("going")
		}
		if s, err = d.Save(s.Version, true); err != nil {
			panic(err)
		}
	}
}

// TestKilledWhileSaving: at whatever moment the program is killed, the file is
// the old one or the new one, and so is what comes back.
func TestKilledWhileSaving(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "a.yaml", filled('b'))
	for round := range 12 {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), crashFolder+"="+dir)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		if line, err := bufio.NewReader(out).ReadString('\n'); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		time.Sleep(time.Duration(round*3) * time.Millisecond) // another moment each time
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = cmd.Wait() // it was killed
		if got := onDisk(t, dir, "a.yaml"); got != filled('a') && got != filled('b') {
			t.Fatalf("round %d: the file is neither the old nor the new one: %d bytes", round, len(got))
		}
		b := open(t, dir, Settings{})
		s := b.document(t, "a.yaml").State()
		if s.Text != filled('a') && s.Text != filled('b') {
			t.Fatalf("round %d: what comes back is neither of both: %d bytes", round, len(s.Text))
		}
		if len(b.warnings) > 0 {
			t.Errorf("round %d: %v", round, b.warnings)
		}
		b.Close()
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".a.yaml.*")); len(left) > 12 {
		t.Errorf("more is left than one file a kill: %v", left)
	}
}

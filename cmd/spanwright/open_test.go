package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"spanwright/examples"
)

// pageFolder holds a page that stands in for the built one.
func pageFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "index.html"), []byte("<title>the page</title>"), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// opening runs the command until the test ends it.
type opening struct {
	address string
	end     func() (code int, stderr string)
}

func openWith(t *testing.T, args ...string) opening {
	t.Helper()
	return openWithBrowser(t, append(args, "--no-browser")...)
}

func openWithBrowser(t *testing.T, args ...string) opening {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	stdout, printed := io.Pipe()
	var stderr strings.Builder
	code := make(chan int, 1)
	go func() {
		defer printed.Close()
		code <- run(ctx, append([]string{"open", "--page", pageFolder(t)}, args...), strings.NewReader(""), printed, &stderr)
	}()
	address, err := bufio.NewReader(stdout).ReadString('\n')
	if err != nil {
		cancel()
		t.Fatalf("no address: %v, exit %d: %s", err, <-code, stderr.String())
	}
	return opening{strings.TrimSpace(address), func() (int, string) {
		cancel()
		return <-code, stderr.String()
	}}
}

func fetch(t *testing.T, url string) (int, string) {
	t.Helper()
	response, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return response.StatusCode, string(text)
}

// TestOpen: the address that is printed shows the page and the design; at the
// end, unsaved work is kept and said.
func TestOpen(t *testing.T) {
	text, err := examples.Starters[0].Text()
	if err != nil {
		t.Fatal(err)
	}
	draft := string(text) + "unknown: 1\n" // with a mistake, so that nothing has to be judged
	file := filepath.Join(t.TempDir(), "gantry.yaml")
	if err := os.WriteFile(file, []byte(draft), 0o644); err != nil {
		t.Fatal(err)
	}
	o := openWith(t, file)
	base, hash, _ := strings.Cut(o.address, "#")
	if hash != "file=gantry.yaml" {
		t.Errorf("the address is %q", o.address)
	}
	if status, body := fetch(t, base); status != 200 || !strings.Contains(body, "the page") {
		t.Errorf("the page: %d %q", status, body)
	}
	if status, body := fetch(t, base+"api/doc?file=gantry.yaml"); status != 200 || !strings.Contains(body, `"saved":true`) {
		t.Errorf("the design: %d %.100q", status, body)
	}
	request, err := http.NewRequest("POST", base+"api/doc/text", strings.NewReader(`{"file":"gantry.yaml","base":1,"text":"unknown: 2\n"}`))
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("X-Spanwright", "1")
	request.Header.Set("Content-Type", "application/json")
	response, err := http.DefaultClient.Do(request)
	if err != nil || response.StatusCode != 200 {
		t.Fatalf("a change: %v %v", response, err)
	}
	response.Body.Close()
	code, stderr := o.end()
	if code != exitDone || !strings.Contains(stderr, "not saved: gantry.yaml; the work is kept") {
		t.Errorf("exit %d: %s", code, stderr)
	}
	if got, err := os.ReadFile(file); err != nil || string(got) != draft {
		t.Errorf("the file was changed without saving (%v)", err)
	}
	again := openWith(t, file)
	base, _, _ = strings.Cut(again.address, "#")
	if _, body := fetch(t, base+"api/doc?file=gantry.yaml"); !strings.Contains(body, `"recovered":true`) || !strings.Contains(body, `"text":"unknown: 2\n"`) {
		t.Errorf("the work did not come back: %.200q", body)
	}
	again.end()
}

// TestOpenFolderOrNothing: a folder, or a design that is not there yet, is opened, too.
func TestOpenFolderOrNothing(t *testing.T) {
	dir := t.TempDir()
	for arg, hash := range map[string]string{dir: "", filepath.Join(dir, "new.yaml"): "file=new.yaml"} {
		o := openWith(t, arg)
		if _, got, _ := strings.Cut(o.address, "#"); got != hash {
			t.Errorf("%s: the address is %q", arg, o.address)
		}
		if code, stderr := o.end(); code != exitDone || strings.Contains(stderr, "not saved") {
			t.Errorf("%s: exit %d: %s", arg, code, stderr)
		}
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) > 0 {
		t.Errorf("opening left %v (%v)", entries, err)
	}
}

// TestOpenStartsTheBrowser: with an address that leads to the page once and
// does not hold the secret, since others may see a command's arguments.
func TestOpenStartsTheBrowser(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the stand-in is for the command that Linux opens a browser with")
	}
	dir := t.TempDir()
	script := "#!/bin/sh\necho \"$1\" >\"" + dir + "/new\" && mv \"" + dir + "/new\" \"" + dir + "/asked\"\n"
	if err := os.WriteFile(filepath.Join(dir, "xdg-open"), []byte(script), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH"))
	o := openWithBrowser(t, t.TempDir())
	defer o.end()
	var asked []byte
	for end := time.Now().Add(20 * time.Second); len(asked) == 0 && time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		asked, _ = os.ReadFile(filepath.Join(dir, "asked")) // it is not there at once
	}
	address := strings.TrimSpace(string(asked))
	secret := strings.Split(o.address, "/")[3]
	if address == "" || strings.Contains(address, secret) {
		t.Fatalf("the browser was asked for %q", address)
	}
	if status, body := fetch(t, address); status != 200 || !strings.Contains(body, "the page") {
		t.Errorf("the first time: %d %q", status, body)
	}
	if status, _ := fetch(t, address); status != 404 {
		t.Errorf("the second time: %d", status)
	}
}

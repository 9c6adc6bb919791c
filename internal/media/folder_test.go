package media

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"forayhall/internal/fault"
)

func openFolder(t testing.TB) *Folder {
	t.Helper()
	f, err := OpenFolder(filepath.Join(t.TempDir(), "photographs"))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestFolder_fans_out_on_two_levels_for_its_user_alone(t *testing.T) {
	f := openFolder(t)
	sha := put(t, f, "a plate")
	name := filepath.Join(f.dir, sha[:2], sha[2:4], sha)
	for name, want := range map[string]os.FileMode{name: 0o600, filepath.Dir(name): 0o700, f.dir: 0o700} {
		if info, err := os.Stat(name); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v", name, info, err)
		}
	}
}

func TestFolder_walks_past_what_is_no_blob(t *testing.T) {
	f := openFolder(t)
	sha := put(t, f, "a plate")
	stray := hashOf([]byte("stray"))
	for _, name := range []string{unfinished + "123", "notes.txt", stray, filepath.Join(sha[:2], stray),
		filepath.Join(sha[:2], sha[2:4], stray)} {
		if err := os.WriteFile(filepath.Join(f.dir, name), []byte("half a pla"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if all := walked(t, f); len(all) != 1 || all[0].SHA256 != sha {
		t.Errorf("told %v", all)
	}
	if has, err := f.Has(t.Context(), stray); has || err != nil {
		t.Errorf("took a file in another place for a blob: %v, %v", has, err)
	}
}

func TestSweep_removes_old_unfinished_files_only(t *testing.T) {
	f := openFolder(t)
	sha := put(t, f, "a plate")
	yesterday := time.Now().Add(-24 * time.Hour)
	for name, at := range map[string]time.Time{unfinished + "old": yesterday, unfinished + "new": time.Now(), "notes": yesterday} {
		name = filepath.Join(f.dir, name)
		if os.WriteFile(name, nil, 0o600) != nil || os.Chtimes(name, at, at) != nil {
			t.Fatal("cannot lay out the folder")
		}
	}
	if err := os.Chtimes(f.file(sha), yesterday, yesterday); err != nil {
		t.Fatal(err)
	}
	n, err := f.Sweep(t.Context(), time.Now().Add(-time.Hour))
	left, _ := filepath.Glob(filepath.Join(f.dir, "*"))
	if n != 1 || err != nil || len(left) != 3 || got(t, f, sha) != "a plate" {
		t.Errorf("removed %d, left %v, %v", n, left, err)
	}
}

func TestFolder_mends_a_damaged_blob_and_renews_its_age(t *testing.T) {
	f := openFolder(t)
	sha := put(t, f, "a plate")
	yesterday := time.Now().Add(-24 * time.Hour)
	if os.WriteFile(f.file(sha), []byte("a pl"), 0o600) != nil || os.Chtimes(f.file(sha), yesterday, yesterday) != nil {
		t.Fatal("cannot damage it")
	}
	put(t, f, "a plate")
	if got(t, f, sha) != "a plate" || time.Since(walked(t, f)[0].PutAt) > time.Hour {
		t.Error("is as it was")
	}
}

func TestFolder_that_cannot_be_written_is_unavailable(t *testing.T) {
	f := openFolder(t)
	sha := hashOf([]byte("a plate"))
	if err := os.WriteFile(filepath.Join(f.dir, sha[:2]), nil, 0o600); err != nil { // a file where a folder must be
		t.Fatal(err)
	}
	if err := f.Put(t.Context(), sha, []byte("a plate")); !fault.Is(err, fault.Unavailable) {
		t.Errorf("gave %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(f.dir, unfinished+"*")); len(left) != 0 {
		t.Errorf("left %v behind", left)
	}
}

// child is set for the process that the next test kills.
const child = "FORAYHALL_MEDIA_CHILD"

// However a process that puts is killed, what stands under a hash has that hash.
func TestFolder_holds_no_half_blob_after_a_kill(t *testing.T) {
	if dir := os.Getenv(child); dir != "" {
		putForEver(t, dir)
	}
	f := openFolder(t)
	for i := range 12 {
		c := exec.Command(os.Args[0], "-test.run=^TestFolder_holds_no_half_blob_after_a_kill$")
		c.Env = append(os.Environ(), child+"="+f.dir)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		waitForBlobs(t, f, i)
		time.Sleep(time.Duration(i) * time.Millisecond)
		if err := c.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = c.Wait() // it was killed
	}
	all := walked(t, f)
	for _, b := range all {
		if hashOf([]byte(got(t, f, b.SHA256))) != b.SHA256 {
			t.Errorf("%s holds something else", b.SHA256)
		}
	}
	if len(all) < 12 {
		t.Errorf("only %d blobs were put: the test proves nothing", len(all))
	}
}

// waitForBlobs waits until the child of a round has put something.
func waitForBlobs(t *testing.T, f *Folder, round int) {
	t.Helper()
	for before, begun := len(walked(t, f)), time.Now(); len(walked(t, f)) <= before; time.Sleep(time.Millisecond) {
		if time.Since(begun) > time.Minute {
			t.Fatalf("round %d put nothing", round)
		}
	}
}

func putForEver(t *testing.T, dir string) {
	f, err := OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; ; i++ {
		put(t, f, strings.Repeat(strconv.Itoa(os.Getpid())+" "+strconv.Itoa(i), 50_000))
	}
}

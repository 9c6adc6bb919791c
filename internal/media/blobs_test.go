package media

import (
	"bytes"
	"context"
	"errors"
	"io"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"forayhall/internal/fault"
)

// each runs a test on every way to keep blobs.
func each(t *testing.T, test func(t *testing.T, blobs Blobs)) {
	t.Run("folder", func(t *testing.T) { test(t, openFolder(t)) })
	t.Run("S3", func(t *testing.T) {
		s, _ := openS3(t)
		test(t, s)
	})
}

func put(t *testing.T, blobs Blobs, content string) (sha string) {
	t.Helper()
	sha = hashOf([]byte(content))
	if err := blobs.Put(t.Context(), sha, []byte(content)); err != nil {
		t.Fatal(err)
	}
	return sha
}

func got(t *testing.T, blobs Blobs, sha string) string {
	t.Helper()
	r, size, err := blobs.Get(t.Context(), sha)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	if err != nil || int64(len(data)) != size {
		t.Errorf("%d bytes of %d, %v", len(data), size, err)
	}
	return string(data)
}

func walked(t *testing.T, blobs Blobs) (all []Blob) {
	t.Helper()
	err := blobs.Walk(t.Context(), func(b Blob) error { all = append(all, b); return nil })
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestBlobs_give_back_what_was_put(t *testing.T) {
	each(t, func(t *testing.T, blobs Blobs) {
		for _, content := range []string{"a plate", "", strings.Repeat("\x00\xff", 1<<20)} {
			if sha := put(t, blobs, content); got(t, blobs, sha) != content {
				t.Errorf("%d bytes came back otherwise", len(content))
			} else if has, err := blobs.Has(t.Context(), sha); !has || err != nil {
				t.Errorf("has it: %v, %v", has, err)
			}
		}
	})
}

func TestBlobs_may_be_put_again(t *testing.T) {
	each(t, func(t *testing.T, blobs Blobs) {
		sha := put(t, blobs, "a plate")
		put(t, blobs, "a plate")
		if all := walked(t, blobs); got(t, blobs, sha) != "a plate" || len(all) != 1 {
			t.Errorf("%d blobs", len(all))
		}
	})
}

func TestBlobs_may_be_put_by_many_at_once(t *testing.T) {
	content := strings.Repeat("a plate ", 10_000)
	each(t, func(t *testing.T, blobs Blobs) {
		var group sync.WaitGroup
		for range 16 {
			group.Go(func() {
				if err := blobs.Put(t.Context(), hashOf([]byte(content)), []byte(content)); err != nil {
					t.Error(err)
				}
			})
		}
		group.Wait()
		if all := walked(t, blobs); len(all) != 1 || got(t, blobs, all[0].SHA256) != content {
			t.Errorf("%d blobs", len(all))
		}
	})
}

func TestBlobs_are_kept_under_their_own_hash_only(t *testing.T) {
	each(t, func(t *testing.T, blobs Blobs) {
		for name, sha := range map[string]string{
			"another's": hashOf(nil), "none": "", "capitals": strings.ToUpper(hashOf([]byte("x"))), "a path": "../../x",
		} {
			if err := blobs.Put(t.Context(), sha, []byte("x")); err == nil {
				t.Errorf("%s: was taken", name)
			}
		}
		if all := walked(t, blobs); len(all) != 0 {
			t.Errorf("%d blobs", len(all))
		}
	})
}

func TestBlobs_that_are_not_there(t *testing.T) {
	each(t, func(t *testing.T, blobs Blobs) {
		put(t, blobs, "something else")
		for name, sha := range map[string]string{
			"never put": hashOf([]byte("never")), "no hash": "plate", "empty": "", "a path": "../../../../etc/passwd",
			"a path as long as a hash": "../" + strings.Repeat("a", 61), "with a line end": hashOf(nil) + "\n",
		} {
			if r, _, err := blobs.Get(t.Context(), sha); !fault.Is(err, fault.NotFound) || r != nil {
				t.Errorf("%s: Get gave %v", name, err)
			}
			if has, err := blobs.Has(t.Context(), sha); has || err != nil {
				t.Errorf("%s: Has gave %v, %v", name, has, err)
			}
			if err := blobs.Delete(t.Context(), sha); err != nil {
				t.Errorf("%s: Delete gave %v", name, err)
			}
		}
	})
}

func TestBlobs_deleted_are_gone(t *testing.T) {
	each(t, func(t *testing.T, blobs Blobs) {
		sha, other := put(t, blobs, "a plate"), put(t, blobs, "another")
		if err := blobs.Delete(t.Context(), sha); err != nil {
			t.Fatal(err)
		}
		if has, err := blobs.Has(t.Context(), sha); has || err != nil {
			t.Errorf("Has gave %v, %v", has, err)
		}
		if got(t, blobs, other) != "another" || got(t, blobs, put(t, blobs, "a plate")) != "a plate" {
			t.Error("others went with it, or it cannot come back")
		}
	})
}

func TestWalk_tells_each_blob_once_with_size_and_age(t *testing.T) {
	each(t, func(t *testing.T, blobs Blobs) {
		sizes := map[string]int64{}
		for i := range 7 { // more than a page of the S3 service of the test
			sizes[put(t, blobs, strings.Repeat("x", i))] = int64(i)
		}
		all := walked(t, blobs)
		for _, b := range all {
			if size, ok := sizes[b.SHA256]; !ok || size != b.Size || time.Since(b.PutAt).Abs() > time.Minute {
				t.Errorf("told %+v", b)
			}
			delete(sizes, b.SHA256)
		}
		if len(all) != 7 || len(sizes) != 0 {
			t.Errorf("told %d, left out %d", len(all), len(sizes))
		}
	})
}

func TestWalk_ends_where_its_visitor_does(t *testing.T) {
	each(t, func(t *testing.T, blobs Blobs) {
		for i := range 5 {
			put(t, blobs, strings.Repeat("x", i))
		}
		enough, n := errors.New("enough"), 0
		err := blobs.Walk(t.Context(), func(Blob) error { n++; return enough })
		if !errors.Is(err, enough) || n != 1 {
			t.Errorf("after %d: %v", n, err)
		}
	})
}

func TestBlobs_heed_the_end_of_a_context(t *testing.T) {
	each(t, func(t *testing.T, blobs Blobs) {
		sha := put(t, blobs, "a plate")
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		_, _, getErr := blobs.Get(ctx, sha)
		_, hasErr := blobs.Has(ctx, sha)
		for _, err := range []error{getErr, hasErr, blobs.Put(ctx, sha, []byte("a plate")), blobs.Delete(ctx, sha),
			blobs.Walk(ctx, func(Blob) error { return nil })} {
			if !errors.Is(err, context.Canceled) {
				t.Errorf("gave %v", err)
			}
		}
		if got(t, blobs, sha) != "a plate" {
			t.Error("the blob is gone")
		}
	})
}

func TestBlobs_keep_a_prepared_photograph(t *testing.T) {
	p := prepared(t, jpegOf(t, quarters(600, 400)))
	each(t, func(t *testing.T, blobs Blobs) {
		for _, picture := range []Picture{p.Full, p.Small} {
			if err := blobs.Put(t.Context(), picture.SHA256, picture.Data); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal([]byte(got(t, blobs, picture.SHA256)), picture.Data) {
				t.Error("came back otherwise")
			}
		}
		names := []string{}
		for _, b := range walked(t, blobs) {
			names = append(names, b.SHA256)
		}
		if !slices.Contains(names, p.Full.SHA256) || !slices.Contains(names, p.Small.SHA256) {
			t.Errorf("walked %v", names)
		}
	})
}

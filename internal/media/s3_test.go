package media

import (
	"net/http/httptest"
	"strings"
	"testing"

	"forayhall/internal/fault"
)

// openS3 opens a bucket at a service in this process, over TLS.
func openS3(t *testing.T) (*S3, *service) {
	t.Helper()
	v := newService()
	server := httptest.NewTLSServer(v)
	t.Cleanup(server.Close)
	return openAt(t, S3Config{Endpoint: strings.TrimPrefix(server.URL, "https://"), Transport: server.Client().Transport}), v
}

func openAt(t *testing.T, c S3Config) *S3 {
	t.Helper()
	if c.Secret == "" {
		c.Secret = serviceSecret
	}
	if c.Bucket == "" {
		c.Bucket = serviceBucket
	}
	c.KeyID, c.Prefix = serviceKey, "hall/"
	s, err := OpenS3(c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestS3_speaks_without_TLS_only_when_the_address_says_so(t *testing.T) {
	v := newService()
	server := httptest.NewServer(v)
	t.Cleanup(server.Close)
	s := openAt(t, S3Config{Endpoint: server.URL}) // http://…
	if sha := put(t, s, "a plate"); got(t, s, sha) != "a plate" || s.Ready(t.Context()) != nil {
		t.Error("does not work")
	}
	asked := v.requests.Load()
	s = openAt(t, S3Config{Endpoint: strings.TrimPrefix(server.URL, "http://")})
	if _, err := s.Has(t.Context(), hashOf(nil)); !fault.Is(err, fault.Unavailable) || v.requests.Load() != asked {
		t.Errorf("without a scheme: %v", err)
	}
}

func TestS3_stays_within_its_prefix(t *testing.T) {
	s, v := openS3(t)
	sha := put(t, s, "a plate")
	v.objects.Store("elsewhere/"+hashOf(nil), object{})
	v.objects.Store("hall/notes.txt", object{})
	if _, ok := v.objects.Load("hall/" + sha); !ok {
		t.Error("the blob is elsewhere")
	}
	if all := walked(t, s); len(all) != 1 || all[0].SHA256 != sha {
		t.Errorf("told %v", all)
	}
}

func TestS3_that_does_not_let_us_in_is_unavailable(t *testing.T) {
	_, v := openS3(t)
	server := httptest.NewServer(v)
	t.Cleanup(server.Close)
	s := openAt(t, S3Config{Endpoint: server.URL, Secret: "another"})
	sha := hashOf([]byte("a plate"))
	_, _, getErr := s.Get(t.Context(), sha)
	for _, err := range []error{s.Put(t.Context(), sha, []byte("a plate")), getErr, s.Delete(t.Context(), sha),
		s.Walk(t.Context(), func(Blob) error { return nil })} {
		if !fault.Is(err, fault.Unavailable) {
			t.Errorf("gave %v", err)
		}
	}
}

func TestS3_without_its_bucket_says_so_when_asked(t *testing.T) {
	server := httptest.NewServer(newService())
	t.Cleanup(server.Close)
	s := openAt(t, S3Config{Endpoint: server.URL, Bucket: "another-bucket"})
	if err := s.Ready(t.Context()); !fault.Is(err, fault.Invalid) {
		t.Errorf("gave %v", err)
	}
	if _, _, err := s.Get(t.Context(), hashOf(nil)); !fault.Is(err, fault.Unavailable) {
		t.Errorf("a missing bucket was taken for a missing blob: %v", err)
	}
}

// A service that answers "slow down" once is asked again; the body must be sent whole both times.
func TestS3_is_asked_again_when_it_is_busy(t *testing.T) {
	s, v := openS3(t)
	v.busy.Store(1)
	if sha := put(t, s, "a plate"); got(t, s, sha) != "a plate" {
		t.Error("was not kept whole")
	}
}

func TestS3_addresses(t *testing.T) {
	for address, c := range map[string]struct {
		host   string
		secure bool
		ok     bool
	}{
		"s3.example.org":              {"s3.example.org", true, true},
		"s3.example.org:9000":         {"s3.example.org:9000", true, true},
		"https://s3.example.org/":     {"s3.example.org", true, true},
		"http://10.0.0.7:9000":        {"10.0.0.7:9000", false, true},
		"ftp://s3.example.org":        {"", false, false},
		"https://s3.example.org/some": {"", false, false},
		"https://":                    {"", false, false},
	} {
		host, secure, err := endpoint(address)
		if host != c.host || secure != c.secure || (err == nil) != c.ok {
			t.Errorf("%s: %s, %v, %v", address, host, secure, err)
		}
	}
	if _, err := OpenS3(S3Config{Endpoint: "no host at all"}); !fault.Is(err, fault.Invalid) {
		t.Errorf("gave %v", err)
	}
}

func TestS3_settings_come_whole_or_not_at_all(t *testing.T) {
	whole := map[string]string{"FORAYHALL_S3_ENDPOINT": "s3.example.org", "FORAYHALL_S3_BUCKET": "hall",
		"FORAYHALL_S3_KEY_ID": "key", "FORAYHALL_S3_SECRET": "secret", "FORAYHALL_S3_REGION": "north"}
	c, wanted, err := S3FromEnv(func(name string) string { return whole[name] })
	want := S3Config{Endpoint: "s3.example.org", Bucket: "hall", Region: "north", KeyID: "key", Secret: "secret"}
	if c != want || !wanted || err != nil {
		t.Errorf("read %+v, %v, %v", c, wanted, err)
	}
	if _, wanted, err := S3FromEnv(func(string) string { return "" }); wanted || err != nil {
		t.Errorf("without any: %v, %v", wanted, err)
	}
	for _, name := range []string{"FORAYHALL_S3_BUCKET", "FORAYHALL_S3_SECRET"} {
		_, wanted, err := S3FromEnv(func(asked string) string {
			if asked == name {
				return ""
			}
			return whole[asked]
		})
		if !wanted || !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), name) || strings.Contains(err.Error(), "secret") {
			t.Errorf("without %s: %v, %v", name, wanted, err)
		}
	}
}

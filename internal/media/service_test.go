package media

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/xml"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

const (
	serviceKey, serviceSecret = "a-key", "a-secret"
	serviceBucket             = "photographs"
	servicePage               = 2 // objects a page of a listing, so that listings have pages
)

// service is what of S3 the tests need: one bucket, signatures of version 4 checked.
type service struct {
	objects  sync.Map // object by key
	requests atomic.Int64
	busy     atomic.Int64 // how many requests are still told to slow down
}

type object struct {
	data []byte
	at   time.Time
}

func newService() *service { return &service{} }

func (v *service) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	v.requests.Add(1)
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return
	}
	bucket, key, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	switch {
	case v.busy.Add(-1) >= 0:
		refuse(w, http.StatusServiceUnavailable, "SlowDown")
	case !isSigned(r):
		refuse(w, http.StatusForbidden, "SignatureDoesNotMatch")
	case r.Header.Get("X-Amz-Content-Sha256") != hashOf(body):
		refuse(w, http.StatusBadRequest, "XAmzContentSHA256Mismatch")
	case bucket != serviceBucket:
		refuse(w, http.StatusNotFound, "NoSuchBucket")
	case key != "":
		v.serveObject(w, r, key, body)
	case r.URL.Query().Get("list-type") == "2":
		v.list(w, r.URL.Query().Get("prefix"), r.URL.Query().Get("continuation-token"))
	}
}

func refuse(w http.ResponseWriter, status int, code string) {
	w.Header().Set("Content-Type", "application/xml")
	w.WriteHeader(status)
	_, _ = io.WriteString(w, "<Error><Code>"+code+"</Code></Error>")
}

func (v *service) serveObject(w http.ResponseWriter, r *http.Request, key string, body []byte) {
	switch r.Method {
	case http.MethodPut:
		v.objects.Store(key, object{body, time.Now()})
		w.Header().Set("ETag", `"0"`)
	case http.MethodDelete:
		v.objects.Delete(key)
		w.WriteHeader(http.StatusNoContent)
	default:
		o, ok := v.objects.Load(key)
		if !ok {
			refuse(w, http.StatusNotFound, "NoSuchKey")
			return
		}
		data := o.(object).data
		w.Header().Set("ETag", `"0"`)
		w.Header().Set("Last-Modified", o.(object).at.UTC().Format(http.TimeFormat))
		w.Header().Set("Content-Length", strconv.Itoa(len(data)))
		if r.Method == http.MethodGet {
			_, _ = w.Write(data)
		}
	}
}

type listing struct {
	XMLName               xml.Name `xml:"ListBucketResult"`
	IsTruncated           bool
	NextContinuationToken string `xml:",omitempty"`
	Contents              []listed
}

type listed struct {
	Key          string
	LastModified string
	Size         int
}

// list answers the keys after the last of the page before.
func (v *service) list(w http.ResponseWriter, prefix, after string) {
	var page listing
	v.objects.Range(func(key, o any) bool {
		if k := key.(string); strings.HasPrefix(k, prefix) && k > after {
			at := o.(object).at.UTC().Format("2006-01-02T15:04:05.000Z")
			page.Contents = append(page.Contents, listed{k, at, len(o.(object).data)})
		}
		return true
	})
	slices.SortFunc(page.Contents, func(a, b listed) int { return strings.Compare(a.Key, b.Key) })
	if len(page.Contents) > servicePage {
		page.Contents = page.Contents[:servicePage]
		page.IsTruncated, page.NextContinuationToken = true, page.Contents[servicePage-1].Key
	}
	w.Header().Set("Content-Type", "application/xml")
	_ = xml.NewEncoder(w).Encode(page)
}

// isSigned makes the signature again (AWS Signature Version 4, "Create a signed request") and compares.
func isSigned(r *http.Request) bool {
	rest, ok := strings.CutPrefix(r.Header.Get("Authorization"), "AWS4-HMAC-SHA256 ")
	fields := map[string]string{}
	for field := range strings.SplitSeq(rest, ",") {
		name, value, _ := strings.Cut(strings.TrimSpace(field), "=")
		fields[name] = value
	}
	scope, isOurs := strings.CutPrefix(fields["Credential"], serviceKey+"/")
	if !ok || !isOurs {
		return false
	}
	date := r.Header.Get("X-Amz-Date")
	asked := sha256.Sum256([]byte(canonical(r, fields["SignedHeaders"])))
	key := []byte("AWS4" + serviceSecret)
	for part := range strings.SplitSeq(scope, "/") {
		key = seal(key, part)
	}
	want := seal(key, "AWS4-HMAC-SHA256\n"+date+"\n"+scope+"\n"+hex.EncodeToString(asked[:]))
	return hmac.Equal([]byte(hex.EncodeToString(want)), []byte(fields["Signature"]))
}

func canonical(r *http.Request, signed string) string {
	var headers strings.Builder
	for name := range strings.SplitSeq(signed, ";") {
		value := r.Header.Get(name)
		switch name {
		case "host":
			value = r.Host
		case "content-length":
			value = strconv.FormatInt(r.ContentLength, 10)
		}
		headers.WriteString(name + ":" + value + "\n")
	}
	query := strings.ReplaceAll(r.URL.Query().Encode(), "+", "%20")
	return strings.Join([]string{r.Method, r.URL.EscapedPath(), query, headers.String(), signed,
		r.Header.Get("X-Amz-Content-Sha256")}, "\n")
}

func seal(key []byte, text string) []byte {
	h := hmac.New(sha256.New, key)
	h.Write([]byte(text))
	return h.Sum(nil)
}

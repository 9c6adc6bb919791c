package media

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// S3Config says where an S3-compatible service is and how to be let in.
type S3Config struct {
	Endpoint  string // host, host:port or https://host; http://host turns TLS off
	Bucket    string
	Region    string // us-east-1 when empty, which services without regions take
	Prefix    string // goes before every name in the bucket, such as "forayhall/"; may be empty
	KeyID     string
	Secret    string
	Transport http.RoundTripper // how to reach the service; the library's own when nil
}

// s3Variables are the settings in the environment, and whether S3 works without.
var s3Variables = []struct {
	name     string
	optional bool
	set      func(*S3Config, string)
}{
	{"FORAYHALL_S3_ENDPOINT", false, func(c *S3Config, v string) { c.Endpoint = v }},
	{"FORAYHALL_S3_BUCKET", false, func(c *S3Config, v string) { c.Bucket = v }},
	{"FORAYHALL_S3_KEY_ID", false, func(c *S3Config, v string) { c.KeyID = v }},
	{"FORAYHALL_S3_SECRET", false, func(c *S3Config, v string) { c.Secret = v }},
	{"FORAYHALL_S3_REGION", true, func(c *S3Config, v string) { c.Region = v }},
	{"FORAYHALL_S3_PREFIX", true, func(c *S3Config, v string) { c.Prefix = v }},
}

// S3FromEnv reads the settings; wanted is false where none is set. Some without the others are a slip, and refused:
// photographs would go to a folder that nobody looks after.
func S3FromEnv(getenv func(string) string) (c S3Config, wanted bool, err error) {
	var missing []string
	for _, variable := range s3Variables {
		v := getenv(variable.name)
		wanted = wanted || v != ""
		if v == "" && !variable.optional {
			missing = append(missing, variable.name)
		}
		variable.set(&c, v)
	}
	if wanted && len(missing) > 0 {
		return c, true, fault.New(fault.Invalid, "media.s3-missing", "names", strings.Join(missing, ", "))
	}
	return c, wanted, nil
}

// S3 keeps blobs in a bucket that is there already.
type S3 struct {
	core           *minio.Core
	bucket, prefix string
}

var _ Blobs = (*S3)(nil)

// tries a request has; more would keep a person waiting for the better part of a minute.
const tries = 3

// OpenS3 does not reach the service yet; Ready does.
func OpenS3(c S3Config) (*S3, error) {
	host, secure, err := endpoint(c.Endpoint)
	if err != nil {
		return nil, err
	}
	region := c.Region
	if region == "" {
		region = "us-east-1"
	}
	core, err := minio.NewCore(host, &minio.Options{
		Creds:  credentials.NewStaticV4(c.KeyID, c.Secret, ""),
		Secure: secure, Region: region, Transport: c.Transport, MaxRetries: tries,
		BucketLookup: minio.BucketLookupPath, // services of one's own seldom have a host name a bucket
	})
	if err != nil {
		return nil, badEndpoint(c.Endpoint, err)
	}
	return &S3{core, c.Bucket, c.Prefix}, nil
}

// endpoint takes TLS as said unless the address says otherwise.
func endpoint(address string) (host string, secure bool, err error) {
	if !strings.Contains(address, "://") {
		return address, true, nil
	}
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" || strings.Trim(u.Path, "/") != "" {
		return "", false, badEndpoint(address, err)
	}
	return u.Host, u.Scheme == "https", nil
}

func badEndpoint(address string, cause error) error {
	return &fault.Error{Kind: fault.Invalid, Cause: cause,
		Text: message.T("media.s3-endpoint", "address", address)}
}

// Ready asks whether the bucket is there and opens to these keys.
func (s *S3) Ready(ctx context.Context) error {
	there, err := s.core.BucketExists(ctx, s.bucket)
	if err == nil && !there {
		return fault.New(fault.Invalid, "media.s3-no-bucket", "bucket", s.bucket)
	}
	return s.failed("ask for the bucket", err)
}

// Put signs the hash of the content, so that the service refuses what changed on the way. The library would sign in
// pieces where there is no TLS, and leave the hash out; the option that names the hash "disabled" keeps it.
func (s *S3) Put(ctx context.Context, sha string, data []byte) error {
	if err := hashes(sha, data); err != nil {
		return err
	}
	_, err := s.core.PutObject(ctx, s.bucket, s.prefix+sha, bytes.NewReader(data), int64(len(data)), "", sha,
		minio.PutObjectOptions{ContentType: "application/octet-stream", DisableContentSha256: true})
	return s.failed("put "+sha, err)
}

func (s *S3) Get(ctx context.Context, sha string) (io.ReadCloser, int64, error) {
	if !shaHex.MatchString(sha) {
		return nil, 0, fault.Missing()
	}
	body, info, _, err := s.core.GetObject(ctx, s.bucket, s.prefix+sha, minio.GetObjectOptions{})
	if isMissing(err) {
		return nil, 0, fault.Missing()
	}
	return body, info.Size, s.failed("get "+sha, err)
}

func (s *S3) Has(ctx context.Context, sha string) (bool, error) {
	if !shaHex.MatchString(sha) {
		return false, ctx.Err()
	}
	_, err := s.core.StatObject(ctx, s.bucket, s.prefix+sha, minio.StatObjectOptions{})
	if isMissing(err) {
		return false, nil
	}
	return err == nil, s.failed("look for "+sha, err)
}

func (s *S3) Delete(ctx context.Context, sha string) error {
	if !shaHex.MatchString(sha) {
		return ctx.Err()
	}
	err := s.core.RemoveObject(ctx, s.bucket, s.prefix+sha, minio.RemoveObjectOptions{})
	if isMissing(err) {
		return nil
	}
	return s.failed("delete "+sha, err)
}

func (s *S3) Walk(ctx context.Context, visit func(Blob) error) error {
	ctx, cancel := context.WithCancel(ctx) // ends the listing when visit does
	defer cancel()
	options := minio.ListObjectsOptions{Prefix: s.prefix, Recursive: true}
	for object := range s.core.Client.ListObjects(ctx, s.bucket, options) {
		if object.Err != nil {
			return s.failed("walk", object.Err)
		}
		sha := strings.TrimPrefix(object.Key, s.prefix)
		if !shaHex.MatchString(sha) {
			continue
		}
		if err := visit(Blob{SHA256: sha, Size: object.Size, PutAt: object.LastModified}); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// failed leaves the end of a wait as it is; all else is the service's.
func (s *S3) failed(doing string, err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return unavailable(fmt.Sprintf("%s in bucket %s", doing, s.bucket), err)
}

// isMissing tells a blob that is not there from a bucket that is not.
func isMissing(err error) bool {
	var answer minio.ErrorResponse
	return errors.As(err, &answer) && answer.StatusCode == http.StatusNotFound && answer.Code != minio.NoSuchBucket
}

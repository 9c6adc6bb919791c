package media

import (
	"context"
	"fmt"
	"io"
	"regexp"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// Blobs keeps bytes under the SHA-256 of their content, in lower-case hexadecimal. It knows nothing of societies: who
// may see a blob is decided by the row that names it. What is no such name is never there.
type Blobs interface {
	// Put keeps data, whose hash must be sha; it has survived a loss of power when Put returns. Again is as good as
	// once: it mends a damaged blob and makes its age begin anew.
	Put(ctx context.Context, sha string, data []byte) error
	// Get opens a blob and says how long it is; what is not there is fault.NotFound.
	Get(ctx context.Context, sha string) (io.ReadCloser, int64, error)
	Has(ctx context.Context, sha string) (bool, error)
	// Delete takes a blob away; one that is not there is no failure.
	Delete(ctx context.Context, sha string) error
	// Walk calls with every blob until visit fails. A blob is put before the row that names it: whoever clears out what
	// no row names must spare what is younger than a transaction can last.
	Walk(ctx context.Context, visit func(Blob) error) error
}

// Blob is what a walk tells.
type Blob struct {
	SHA256 string
	Size   int64
	PutAt  time.Time // by the clock of the disk or the service
}

var shaHex = regexp.MustCompile(`^[0-9a-f]{64}$`)

// hashes refuses to keep data under a name that is not its hash: a fault of the program, or of memory.
func hashes(sha string, data []byte) error {
	if got := hashOf(data); got != sha {
		return fmt.Errorf("media: %d bytes with the hash %s cannot be kept as %.64q", len(data), got, sha)
	}
	return nil
}

// unavailable says that the disk or the service failed; why is for the log.
func unavailable(doing string, err error) error {
	return &fault.Error{Kind: fault.Unavailable, Text: message.T("fault.unavailable"),
		Cause: fmt.Errorf("media: %s: %w", doing, err)}
}

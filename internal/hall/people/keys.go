package people

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// keyFile is where a data folder keeps its signing keys, one a line, the newest first.
const keyFile = "session.key"

// LoadKeys takes the signing keys from env (base64, separated by commas, the newest first), or from a file of mode
// 0600 in dir, which is made when it is not there.
func LoadKeys(env, dir string, random io.Reader) ([]Key, error) {
	if env != "" {
		return parseKeys(strings.Split(env, ","), "FORAYHALL_KEY")
	}
	path := filepath.Join(dir, keyFile)
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return makeKey(path, random)
	}
	if err != nil {
		return nil, fmt.Errorf("read the signing key: %w", err)
	}
	return parseKeys(strings.Fields(string(data)), path)
}

func makeKey(path string, random io.Reader) ([]Key, error) {
	secret := make([]byte, 32)
	if _, err := io.ReadFull(random, secret); err != nil {
		return nil, fmt.Errorf("make a signing key: %w", err)
	}
	line := base64.StdEncoding.EncodeToString(secret)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("keep the signing key: %w", err)
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, fmt.Errorf("keep the signing key: %w", err)
	}
	_, err = f.WriteString(line + "\n")
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return nil, fmt.Errorf("keep the signing key: %w", err)
	}
	return parseKeys([]string{line}, path)
}

func parseKeys(lines []string, from string) ([]Key, error) {
	var keys []Key
	for i, line := range lines {
		secret, err := base64.StdEncoding.DecodeString(strings.TrimSpace(line))
		if err != nil || len(secret) < 32 {
			return nil, fmt.Errorf("%s: key %d is not base64 of at least 32 bytes", from, i+1)
		}
		sum := sha256.Sum256(secret)
		keys = append(keys, Key{ID: hex.EncodeToString(sum[:4]), Secret: secret})
	}
	if len(keys) == 0 {
		return nil, fmt.Errorf("%s: no signing key in it", from)
	}
	return keys, nil
}

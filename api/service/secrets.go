package service

import (
	"fmt"
	"hash/crc32"
	"io"
	"math/big"
	"strings"

	"kerfbook/api/answer"
)

// A secret is 256 random bits in 43 characters of base 62: no sign in it ends a
// word, so that a double click takes it whole.
const (
	secretBytes = 32
	secretText  = 43
	sumText     = 6
	tokenPrefix = "kb_"
)

// newSecret draws a secret.
func (s *Service) newSecret() (string, error) {
	raw := make([]byte, secretBytes)
	if _, err := io.ReadFull(s.random, raw); err != nil {
		return "", answer.Unexpected(fmt.Errorf("no random bits: %w", err))
	}
	return base62(new(big.Int).SetBytes(raw), secretText), nil
}

// base62 writes a number with leading zeros.
func base62(n *big.Int, width int) string {
	text := n.Text(62)
	return strings.Repeat("0", max(0, width-len(text))) + text
}

// tokenText makes a token of a secret: a prefix that says what it is, and a
// checksum, so that one copied badly or made up is known without a look.
func tokenText(secret string) string { return tokenPrefix + secret + checksum(secret) }

func checksum(secret string) string {
	sum := crc32.ChecksumIEEE([]byte(tokenPrefix + secret))
	return base62(new(big.Int).SetUint64(uint64(sum)), sumText)
}

// isToken reports whether a text has the form of a token.
func isToken(text string) bool {
	secret, ok := strings.CutPrefix(text, tokenPrefix)
	if !ok || len(secret) != secretText+sumText {
		return false
	}
	return checksum(secret[:secretText]) == secret[secretText:]
}

// hashSecret is what is kept of a secret. Its 256 random bits need no slow hash.
func hashSecret(secret string) []byte { return hashOf([]byte(secret)) }

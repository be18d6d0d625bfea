package quote

// For the tests.
var (
	Unpack   = unpack
	CutWords = cutWords
)

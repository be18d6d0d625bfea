package quote

// Unpack is unpack for the tests.
var Unpack = unpack

package estimate

// missing is something that the book lacks, with the place where it belongs.
type missing struct{ what, path string }

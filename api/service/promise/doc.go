// Package promise holds what a shop has promised: numbered documents that never
// change and the states they pass through. Of quotes it owns the numbering, what is
// kept beside them and under which hash, the files they are written as, and how a
// stored one is told from one that was changed. It keeps nothing itself.
package promise

package rows

import _ "embed"

// Example is a table to begin with: a part of the fictional Ostrel Workshop.
//
//go:embed example.csv
var Example []byte

package quote

import "fmt"

func place(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

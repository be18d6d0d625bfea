package show

import (
	"strconv"
	"strings"

	"kerfbook/bom"
)

var months = [...]string{"January", "February", "March", "April", "May", "June", "July",
	"August", "September", "October", "November", "December"}

// Day writes a civil day so that nobody takes the month for the day: 25 November
// 2026. Text that is no day comes back as it is.
func Day(day bom.Date) string {
	parts := strings.Split(string(day), "-")
	if len(parts) != 3 {
		return string(day)
	}
	month, err1 := strconv.Atoi(parts[1])
	number, err2 := strconv.Atoi(parts[2])
	if err1 != nil || err2 != nil || month < 1 || month > len(months) {
		return string(day)
	}
	return strconv.Itoa(number) + " " + months[month-1] + " " + parts[0]
}

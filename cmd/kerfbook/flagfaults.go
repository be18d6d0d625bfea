package main

import (
	"errors"
	"regexp"
	"strings"

	"kerfbook/api/answer"
)

// flagFaults names, in an error of a use case, the flags in place of the fields of
// the request that they fill in.
func flagFaults(err error, flagOf func(pointer string) string) error {
	var known *answer.Error
	if err = interrupted(err); !errors.As(err, &known) {
		return err
	}
	named := *known
	named.Fields = nil
	for _, f := range known.Fields {
		if flag := flagOf(f.Pointer); flag != "" {
			f.Path = strings.TrimSpace("--" + flag + " " + keyOfChange(f))
		}
		named.Fields = append(named.Fields, f)
	}
	return &named
}

// keyOfChange is the key of the input that a fault of --set is about; a fault of
// anything else has the place of its field as its path.
func keyOfChange(f answer.FieldError) string {
	if strings.Contains(f.Pointer, "/changes/") && !strings.Contains(f.Path, "changes[") {
		return f.Path
	}
	return ""
}

// spreadFlag names the flag of a field of a spread.
func spreadFlag(pointer string) string {
	parts := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	switch parts[0] {
	case "draws", "seed", "figures", "movers", "precision", "mix":
		return parts[0]
	case "correlations":
		return "correlate"
	case "changes":
		return "set"
	case "prices":
		if parts[len(parts)-1] == "chance" {
			return "chance"
		}
		return "price"
	}
	return ""
}

// curveFlag names the flag of a field of a curve.
func curveFlag(pointer string) string {
	parts := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	switch {
	case parts[0] == "from", parts[0] == "to", parts[0] == "quantity", parts[0] == "breaks":
		return parts[0]
	case strings.Contains(pointer, "/changes"):
		return "set"
	case strings.HasSuffix(pointer, "/figure"):
		return "figure"
	}
	return ""
}

// compareFlag names the flag of a field of a comparison.
func compareFlag(pointer string) string {
	switch {
	case strings.HasSuffix(pointer, "/figure"):
		return "figure"
	case strings.Contains(pointer, "/changes"):
		return "set"
	case strings.HasPrefix(pointer, "/before"):
		return "from"
	case strings.HasPrefix(pointer, "/after"):
		return "to"
	}
	return ""
}

var badNumber = regexp.MustCompile(`^invalid value (".*") for flag -(\S+): (parse error|value out of range)$`)

// flagWords says in words what the flag package says of a number.
func flagWords(err error) string {
	m := badNumber.FindStringSubmatch(err.Error())
	switch {
	case m == nil:
		return err.Error()
	case m[3] == "parse error":
		return "--" + m[2] + ": " + m[1] + " is no whole number, such as 100"
	}
	return "--" + m[2] + ": " + m[1] + " is out of reach"
}

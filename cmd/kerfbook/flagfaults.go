package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"kerfbook/api/answer"
	"kerfbook/costing/text"
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

// flagWords says in words what the flag library says of a flag.
func flagWords(err error, flags *pflag.FlagSet) string {
	var unknown *pflag.NotExistError
	var bad *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		written := "--" + unknown.GetSpecifiedName()
		if short := unknown.GetSpecifiedShortnames(); short != "" {
			written = "-" + short
		}
		known := []string{}
		flags.VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
		if near, ok := text.Nearest(strings.TrimLeft(written, "-"), known); ok && len(written) > len("-o") {
			return fmt.Sprintf("there is no flag %s; did you mean --%s?", written, near)
		}
		return fmt.Sprintf("there is no flag %s; --help lists them", written)
	case errors.As(err, &bad) && errors.Is(err, strconv.ErrRange):
		return fmt.Sprintf("--%s: %q is out of reach", bad.GetFlag().Name, bad.GetValue())
	case errors.As(err, &bad) && strings.Contains(bad.GetFlag().Value.Type(), "int"):
		return fmt.Sprintf("--%s: %q is no whole number, such as 100", bad.GetFlag().Name, bad.GetValue())
	}
	return err.Error()
}

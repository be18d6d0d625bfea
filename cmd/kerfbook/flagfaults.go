package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"kerfbook/api/answer"
	"kerfbook/costing/text"
)

// flagFaults names, in an error of a use case, the flags in place of the fields of
// the request that they fill in.
func flagFaults(err error) error {
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

// flagOf names the flag that fills in a field of a request: mostly that of its name.
func flagOf(pointer string) string {
	parts := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	switch first, last := parts[0], parts[len(parts)-1]; {
	case slices.Contains([]string{"draws", "seed", "figures", "movers", "precision", "mix", "from", "to", "quantity", "breaks"}, first):
		return first
	case last == "figure":
		return "figure"
	case slices.Contains(parts, "changes"):
		return "set"
	case first == "before":
		return "from"
	case first == "after":
		return "to"
	case first == "correlations":
		return "correlate"
	case first == "prices" && last == "chance":
		return "chance"
	case first == "prices":
		return "price"
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

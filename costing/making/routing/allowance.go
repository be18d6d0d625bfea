package routing

import "kerfbook/costing/graph"

// An allowance is a share of work time, or of shift time. Both are in use; which
// is a decision of the shop. Attended time is multiplied by 1 + allowance, or
// divided by 1 − allowance (M16). Source `time-standards`.

// withAllowance adds the allowance to an attended time.
func (c Centre) withAllowance(s graph.Scope, t graph.ID) graph.ID {
	const name, label = "attended", "attended time"
	if c.OfShift {
		return s.Divide(name, label, t, c.worked(s, "allowance-worked"))
	}
	return s.Multiply(name, label, t, c.factor(s, "allowance-factor"))
}

// withoutAllowance takes the allowance off a set-up time that was entered with it.
func (c Centre) withoutAllowance(s graph.Scope, t graph.ID) graph.ID {
	const name, label = "setup-time", "set-up time"
	if c.OfShift {
		return s.Multiply(name, label, t, c.worked(s, "setup-allowance-worked"))
	}
	return s.Divide(name, label, t, c.factor(s, "setup-allowance-factor"))
}

// LabourWithAllowance is the rate of an hour attended, with its allowance; None
// without a rate.
func (c Centre) LabourWithAllowance(s graph.Scope, rate graph.ID) graph.ID {
	const name, label = "labour-allowed", "labour rate with allowance"
	switch {
	case rate == graph.None || c.Allowance == graph.None:
		return rate
	case c.OfShift:
		return s.Divide(name, label, rate, c.worked(s, "allowance-worked"))
	}
	return s.Multiply(name, label, rate, c.factor(s, "allowance-factor"))
}

func (c Centre) factor(s graph.Scope, name string) graph.ID {
	return s.Add(name, "1 + allowance", s.One(graph.Plain), c.Allowance)
}

func (c Centre) worked(s graph.Scope, name string) graph.ID {
	return s.Subtract(name, "1 − allowance, the share of the shift that is worked", s.One(graph.Plain), c.Allowance)
}

// Package finish prices outside processes on our pieces, such as plating and
// anodising: the mass a coating adds (formula F1) and the charge of a lot (F2).
package finish

// Package finish prices outside processes on our pieces, such as plating and
// anodising: the mass a coating adds (formula F1) and the charge of a lot (F2). For
// information it tells how far surfaces grow, how long a load stays in the bath
// and what current it draws. It also computes the surface of boxes, cylinders and
// tubes, which finishes start from.
package finish

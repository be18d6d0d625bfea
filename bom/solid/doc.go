// Package solid measures the model file of a part: volume, surface and outer size of a
// closed surface of triangles, from STL and 3MF files.
package solid

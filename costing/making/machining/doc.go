// Package machining turns the features of a machining operation into figures:
// path, feed and speed, cutting and positioning time, tool changes, power, worn
// edges and what they cost (formulas M1 to M14), and what the features take away
// from the blank. Of several tools that can cut a feature it takes the cheapest. What one
// feature cut by one tool takes is told by its package feature.
//
// Keys of one feature are below feature/ID in the scope of its operation; what
// depends on the tool is below feature/ID/with/TOOL. Figures that several features
// share, such as the speed of a tool in a material, are below cut/ and tool/.
package machining

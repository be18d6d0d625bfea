// Package runs does work that may outlast the request that asked for it: bounded in
// number, in turn, to be looked at, waited for and cancelled. It knows neither what
// the work is nor where anything is stored.
package runs

// Package edge is what the JSON interface and the pages share: who is asking,
// what they may do, how much they may send, how often they may try, and how an
// error is told. It knows nothing of costs and nothing of any one route.
package edge

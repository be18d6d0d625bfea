// Package quote makes an estimate into a promise: a numbered document of lines,
// taxes and terms whose every amount is a figure of the formula graph.
//
// [Build] adds the figures of a quote to the estimate of its batch, under keys
// that begin with quote/, and gives the [Document] with the graph, its figures
// and the text of the book it was computed from. A document is shown and
// explained from itself alone; [Pack] and [Open] turn it into bytes and back.
// Amounts are rounded once, where a document shows them: the price of a piece,
// the line, the discount, the delivery, the tax of a rate over all lines (EN
// 16931), and what each line bears of an amount is shared out to the cent.
package quote

// Package papers makes quotes, and shows and sends those that were issued.
package papers

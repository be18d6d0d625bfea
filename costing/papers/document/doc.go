// Package document writes a quote as a PDF for the customer.
package document

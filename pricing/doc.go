// Package pricing turns a takeoff and a price list into a quote: what to buy, the hours, the cost and the price.
package pricing

// Package table sets a quote out in tables, for spreadsheet programs and bookkeeping: the line items, the cut list and the
// shopping list as CSV (RFC 4180), and a workbook of all tables (Office Open XML, ISO/IEC 29500) whose formulas reckon
// the totals again from the line items.
//
// Titles and words are in the language of the locale; beside them stand the keys of the answer, which are the same in
// every language. Amounts are the crew's own: costs and profit are shown.
package table
